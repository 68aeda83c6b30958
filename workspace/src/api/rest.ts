// Requests to the server this page came from; never to any other.
import type { Fault } from './types';

let token = '';

/** The token that the server wants on every request that changes something. */
export function setToken(value: string): void {
  token = value;
}

/** The server refused: with faults to show where the input stands, or a sentence. */
export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly faults: Fault[],
    message: string,
  ) {
    super(message);
  }
}

async function answer<T>(response: Response): Promise<T> {
  return (await (await good(response)).json()) as T;
}

async function good(response: Response): Promise<Response> {
  if (response.ok) return response;
  let faults: Fault[] = [];
  let message = `The server answered ${response.status}.`;
  try {
    const body = (await response.json()) as { faults?: Fault[]; message?: string };
    faults = body.faults ?? [];
    message = body.message ?? faults.map(sentence).join(' ') ?? message;
  } catch {
    // no JSON: the status alone is told
  }
  throw new Refused(response.status, faults, message);
}

export function sentence(fault: Fault): string {
  const fix = fault.fix ? ` ${fault.fix}` : '';
  return `${fault.where}: found ${fault.found}; expected ${fault.expected}.${fix}`;
}

export async function get<T>(path: string, signal?: AbortSignal): Promise<T> {
  return answer<T>(await fetch(`./api${path}`, { credentials: 'same-origin', signal: signal ?? null }));
}

export async function post<T>(path: string, body: unknown = {}): Promise<T> {
  return answer<T>(await sent(path, body));
}

/** Have something written as a file, and let the reader keep it under the name that the server gives it. */
export async function keepFile(path: string, body: unknown): Promise<void> {
  const response = await good(await sent(path, body));
  const name = /filename\*=UTF-8''([^;]+)/.exec(response.headers.get('Content-Disposition') ?? '')?.[1] ?? 'file';
  keep(await response.blob(), decodeURIComponent(name));
}

/** Let the reader keep a file. */
export function keep(file: Blob, name: string): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(file);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000); // once the browser has surely taken it
}

async function sent(path: string, body: unknown): Promise<Response> {
  const form = body instanceof FormData;
  const headers: Record<string, string> = { 'X-Bathybore-Token': token };
  if (!form) headers['Content-Type'] = 'application/json';
  return fetch(`./api${path}`, {
    method: 'POST',
    credentials: 'same-origin',
    headers,
    body: form ? body : JSON.stringify(body),
  });
}

export const inPath = encodeURIComponent;
