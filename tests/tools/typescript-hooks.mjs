// Lets plain Node run the TypeScript sources as they stand: for processes that tests start and kill, and for scripts run by
// hand. Use: node --import ./tests/tools/typescript-hooks.mjs script.ts
import { existsSync, statSync } from 'node:fs';
import { registerHooks } from 'node:module';
import { fileURLToPath } from 'node:url';

const isFile = (url) => existsSync(fileURLToPath(url)) && statSync(fileURLToPath(url)).isFile();

registerHooks({
  resolve(specifier, context, next) {
    // Packages are resolved as ever: they know no TypeScript.
    const isOurs = context.parentURL?.startsWith('file:') && !context.parentURL.includes('/node_modules/');
    if (specifier.startsWith('.') && isOurs) {
      for (const ending of ['', '.ts', '/index.ts']) {
        const url = new URL(specifier + ending, context.parentURL);
        if (isFile(url)) return next(url.href, context);
      }
    }
    return next(specifier, context);
  },
  load(url, context, next) {
    return next(url, url.endsWith('.ts') ? { ...context, format: 'module-typescript' } : context);
  },
});
