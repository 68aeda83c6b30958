// Lets Node run the sources as they are: types are taken off, and runes compiled as the build does.
import { existsSync, readFileSync } from 'node:fs';
import { register } from 'node:module';
import { fileURLToPath } from 'node:url';
import { isMainThread } from 'node:worker_threads';

if (isMainThread) register(import.meta.url);

export async function resolve(name, context, next) {
  if (!name.startsWith('.')) return next(name, context);
  const found = ['', '.ts'].map((end) => new URL(name + end, context.parentURL)).find((one) => /\.\w+$/.test(one.pathname) && existsSync(one));
  return found ? { url: found.href, shortCircuit: true } : next(name, context);
}

export async function load(url, context, next) {
  if (!url.endsWith('.ts')) return next(url, context);
  const { default: ts } = await import('typescript');
  const options = { module: ts.ModuleKind.ESNext, target: ts.ScriptTarget.ES2022, verbatimModuleSyntax: true };
  let source = ts.transpileModule(readFileSync(fileURLToPath(url), 'utf8'), { compilerOptions: options }).outputText;
  if (url.endsWith('.svelte.ts')) {
    const { compileModule } = await import('svelte/compiler');
    source = compileModule(source, { filename: fileURLToPath(url) }).js.code;
  }
  return { format: 'module', source, shortCircuit: true };
}
