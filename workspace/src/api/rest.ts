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
  if (response.ok) return (await response.json()) as T;
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
  const form = body instanceof FormData;
  const headers: Record<string, string> = { 'X-Bathybore-Token': token };
  if (!form) headers['Content-Type'] = 'application/json';
  const response = await fetch(`./api${path}`, {
    method: 'POST',
    credentials: 'same-origin',
    headers,
    body: form ? body : JSON.stringify(body),
  });
  return answer<T>(response);
}

export const inPath = encodeURIComponent;
