/**
 * Runs in the browser: what is hard to read, hit or reach on the page as it stands. Text that stands out too little from its ground
 * (WCAG 2.2, 1.4.3: 4.5 to 1, large text 3 to 1), targets below 44 px (2.5.5), what has no name (4.1.2), and what makes the page scroll
 * sideways (1.4.10).
 * @returns {string[]}
 */
export function findComplaints() {
  const found = [];
  const isShown = (element) => element.checkVisibility({ visibilityProperty: true, opacityProperty: true });
  const numbers = (colour) => (colour.match(/[\d.]+/g) ?? []).map(Number);
  const light = (colour) => {
    const [r, g, b] = colour.slice(0, 3).map((part) => {
      const share = part / 255;
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const groundOf = (element) => {
    for (let here = element; here !== null; here = here.parentElement) {
      const colour = numbers(getComputedStyle(here).backgroundColor);
      if (colour.length === 3 || colour[3] === 1) return colour;
    }
    return [255, 255, 255];
  };
  const nameOf = (element) => `${element.tagName.toLowerCase()} "${(element.textContent ?? '').trim().slice(0, 40)}"`;
  for (const element of document.querySelectorAll('body *')) {
    if (!isShown(element) || element.closest('.unseen, svg, option') !== null) continue;
    const hasText = [...element.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim() !== '');
    if (!hasText) continue;
    const style = getComputedStyle(element);
    const size = Number.parseFloat(style.fontSize);
    const isLarge = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
    const [a, b] = [light(numbers(style.color)), light(groundOf(element))];
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (ratio < (isLarge ? 3 : 4.5)) found.push(`contrast ${ratio.toFixed(1)}: ${nameOf(element)}`);
  }
  for (const text of document.querySelectorAll('svg.plot text')) {
    const [a, b] = [light(numbers(getComputedStyle(text).fill)), light(groundOf(text))];
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (ratio < 4.5) found.push(`contrast ${ratio.toFixed(1)}: plot ${nameOf(text)}`);
  }
  const targets = 'button, select, input, textarea, summary, nav a, a.sheet, a.button';
  for (const element of document.querySelectorAll(targets)) {
    if (!isShown(element)) continue;
    const target = element.matches('[type=radio], [type=checkbox]') ? (element.closest('label') ?? element) : element;
    const { width, height } = target.getBoundingClientRect();
    if (width < 43.5 || height < 43.5) {
      found.push(`target ${Math.round(width)} x ${Math.round(height)}: ${nameOf(element)}`);
    }
    const hasWords = (element.textContent ?? '').trim() !== '' && !element.matches('select, textarea');
    const isNamed = hasWords || (element.labels?.length ?? 0) > 0 || element.hasAttribute('aria-label');
    if (!isNamed) found.push(`no name: ${element.outerHTML.slice(0, 80)}`);
  }
  if (document.documentElement.scrollWidth > innerWidth) {
    const widest = [...document.querySelectorAll('body *')].filter(
      (one) => one.getBoundingClientRect().right > innerWidth,
    );
    found.push(`scrolls sideways: ${document.documentElement.scrollWidth} in ${innerWidth}, ${widest.map(nameOf)[0]}`);
  }
  return found;
}
