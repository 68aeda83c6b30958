// A server that the tests play themselves: what the page sends is kept, what it hears they say.
export class Line {
  static readonly OPEN = 1;
  static all: Line[] = [];
  readyState = 0;
  sent: Record<string, unknown>[] = [];
  onopen = (): void => {};
  onmessage = (_: { data: string }): void => {};
  onclose = (_: { code: number }): void => {};

  constructor() {
    Line.all.push(this);
  }
  send(text: string): void {
    this.sent.push(JSON.parse(text) as Record<string, unknown>);
  }
  close(): void {
    this.readyState = 3;
  }
  /** What was sent of one kind, oldest first. */
  of(type: string): Record<string, unknown>[] {
    return this.sent.filter((one) => one['type'] === type);
  }
  open(): void {
    this.readyState = Line.OPEN;
    this.onopen();
  }
  say(message: object): void {
    this.onmessage({ data: JSON.stringify(message) });
  }
  drop(code = 1006): void {
    this.readyState = 3;
    this.onclose({ code });
  }
}

Object.assign(globalThis, {
  WebSocket: Line,
  location: { href: 'http://127.0.0.1:8137/', hash: '', pathname: '/' },
  requestAnimationFrame: (act: () => void) => setTimeout(act, 0),
});

/** Open a hole as a page does, and take the newest line to the server. */
export async function opened(hole: string): Promise<Line> {
  const { live } = await import('../src/state/live.svelte');
  live.open(hole);
  const line = Line.all.at(-1)!;
  line.open();
  return line;
}

/** Let everything that waits for a promise go on. */
export const soon = (): Promise<void> => new Promise((done) => setTimeout(done, 5));
