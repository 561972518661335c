/** A tone for what nobody has answered yet, once somebody has allowed it on this device. */

const everyMs = 4000;

export function createSound() {
  /** @type {AudioContext | null} */
  let audio = null;
  let isCalling = false;

  const beep = () => {
    if (audio === null || !isCalling) return;
    for (const [atS, pitchHz] of /** @type {const} */ ([
      [0, 880],
      [0.35, 660],
      [0.7, 880],
    ])) {
      const tone = audio.createOscillator();
      const volume = audio.createGain();
      tone.frequency.value = pitchHz;
      volume.gain.value = 0.35;
      tone.connect(volume).connect(audio.destination);
      tone.start(audio.currentTime + atS);
      tone.stop(audio.currentTime + atS + 0.25);
    }
  };
  setInterval(beep, everyMs);

  return {
    get isOn() {
      return audio !== null;
    },
    /** Only after a press: browsers allow no sound before. */
    toggle() {
      if (audio === null) {
        audio = new AudioContext();
        void audio.resume();
        beep();
      } else {
        void audio.close();
        audio = null;
      }
    },
    /** @param {boolean} calls */
    set(calls) {
      const begins = calls && !isCalling;
      isCalling = calls;
      if (begins) beep();
    },
  };
}
