// The live hole: one connection, what the server last said, and the edits it has not yet confirmed.
import type { Edit, Fault, FromServer, LedgerHead, LedgerRow, Scene } from '../api/types';
import { inPath, sentence } from '../api/rest';
import { Parts } from './parts.svelte';
import { view } from './view.svelte';

export type Connection = 'closed' | 'connecting' | 'open' | 'lost';

type Change =
  | { type: 'handle'; base: number; gesture: string; handle: string; label: string; value?: number; text?: string }
  | { type: 'edits'; base: number; gesture: string; label: string; edits: Edit[] }
  | { type: 'undo'; base: number }
  | { type: 'redo'; base: number };
type Outgoing = Change & { id: number; token: string };

/** How an edit ended. */
export type Outcome =
  | { kind: 'accepted'; revision: number }
  | { kind: 'refused'; faults: Fault[] }
  | { kind: 'conflict'; keys: string[]; by: string };

/** Tells this page apart from every other, also when nobody logs in. */
export const CLIENT = unique();
/** Who makes a revision where nobody logs in. */
export const NOBODY = 'local';
// codes with which the server closes a connection that it would not open again
const LOGIN_AGAIN = 4401;
const NO_SUCH_HOLE = 4404;
const RETRY_FIRST = 300;
const RETRY_LONGEST = 5000;

class Live {
  hole = $state('');
  connection = $state<Connection>('closed');
  revision = $state(0);
  /** The Column and the ribbon; its parts follow what the server says, each by itself. */
  scene = $state.raw<Scene | null>(null);
  head = $state.raw<LedgerHead | null>(null);
  rows = $state.raw<LedgerRow[]>([]);
  /** Why the newest revision cannot be walked; the scene is then that of the last that could. */
  faults = $state.raw<Fault[]>([]);
  canUndo = $state(false);
  canRedo = $state(false);
  people = $state.raw<string[]>([]);
  /** A sentence for the reader: a refusal, a conflict, a change made elsewhere. */
  notice = $state('');
  waiting = $state(0);
  /** The newest revision whose picture, or whose faults, have arrived; `revision` may run ahead of it. */
  pictured = $state(0);
  /** Called when asking again is of no use: the session has ended, or the hole is gone. */
  shut: (why: 'login' | 'gone') => void = () => {};
  #socket: WebSocket | null = null;
  #parts = new Parts<Scene>();
  #shown = new Set<string>(); // ids of the rows
  /** Every row that was told of on this connection, those that are gone too: of one that comes back only what differs is told. */
  #told = new Map<string, LedgerRow>();
  #pending = new Map<number, { message: Outgoing; done: (outcome: Outcome) => void }>();
  #next = 1;
  #retry = RETRY_FIRST;
  #timer: ReturnType<typeof setTimeout> | null = null;
  /** The newest revision whose ledger has arrived; it follows its picture. */
  judged = $state(0);
  /** Sent and not yet seen in picture and ledger: when, and the revision it became. */
  #unseen = new Map<number, { at: number; revision: number | null; pictured: boolean }>();

  open(hole: string): void {
    this.close();
    this.hole = hole;
    this.#connect();
  }

  /** Connect once more after `shut`; what was not confirmed is sent again. */
  resume(): void {
    if (this.hole && !this.#socket) this.#connect();
  }

  close(): void {
    if (this.#timer) clearTimeout(this.#timer);
    this.#timer = null;
    const socket = this.#socket;
    this.#socket = null;
    socket?.close();
    this.connection = 'closed';
    this.scene = null;
    this.#parts = new Parts<Scene>();
    this.head = null;
    this.rows = [];
    this.faults = [];
    this.people = [];
    this.revision = 0;
    this.pictured = 0;
    this.judged = 0;
    this.#unseen.clear();
    this.#shown.clear();
    this.#told.clear();
    this.#forsake();
  }

  /** Whoever waits for an answer is told that none will come, and the reader that edits may be lost. */
  #forsake(): void {
    if (!this.#pending.size) return;
    const many = this.#pending.size === 1 ? 'One change was' : `${this.#pending.size} changes were`;
    this.notice = `${many} not confirmed by the server when ${this.hole} was left, and may not be made: look there again.`;
    const fault: Fault = { where: this.hole, found: 'the hole was left', expected: 'the answer of the server', fix: '' };
    for (const id of [...this.#pending.keys()]) this.#settle(id, { kind: 'refused', faults: [fault] });
  }

  /** Tell the server which step, string, datum and units this page shows. */
  look(): void {
    this.#send({ type: 'view', step: view.step, string: view.string, datum: view.datum, units: view.units });
  }

  /** Move a handle to an SI value. All of one drag share a gesture and are undone together. */
  move(handle: string, value: number, gesture: string): Promise<Outcome> {
    return this.#edit({ type: 'handle', base: this.pictured, gesture, handle, label: this.#labelOf(handle), value });
  }

  /** Set a handle to what was typed, with its unit. */
  type(handle: string, text: string): Promise<Outcome> {
    return this.#edit({ type: 'handle', base: this.pictured, gesture: unique(), handle, label: this.#labelOf(handle), text });
  }

  edit(edits: Edit[], label: string, gesture = unique()): Promise<Outcome> {
    return this.#edit({ type: 'edits', base: this.pictured, gesture, label, edits });
  }

  undo(): Promise<Outcome> {
    return this.#travel('undo');
  }

  redo(): Promise<Outcome> {
    return this.#travel('redo');
  }

  // pressed at a button or a key, which have no place of their own to say why it was not done
  async #travel(type: 'undo' | 'redo'): Promise<Outcome> {
    const outcome = await this.#edit({ type, base: this.pictured });
    if (outcome.kind === 'refused') this.notice = `No ${type}: ${outcome.faults.map(sentence).join(' ')}`;
    return outcome;
  }

  #labelOf(handle: string): string {
    return this.scene?.handles.find((one) => one.id === handle)?.label ?? '';
  }

  #connect(): void {
    this.connection = this.connection === 'closed' ? 'connecting' : 'lost';
    const address = new URL(`./api/holes/${inPath(this.hole)}/live`, location.href);
    address.protocol = address.protocol.replace('http', 'ws');
    address.searchParams.set('datum', view.datum);
    address.searchParams.set('units', view.units);
    address.searchParams.set('step', view.step);
    address.searchParams.set('client', CLIENT);
    const socket = new WebSocket(address);
    this.#socket = socket;
    socket.onopen = () => {
      this.connection = 'open';
      this.#retry = RETRY_FIRST;
      this.#shown.clear();
      this.#told.clear(); // the first message of a connection is whole
      this.look();
      for (const { message } of this.#pending.values()) socket.send(JSON.stringify(message));
    };
    socket.onmessage = (event: MessageEvent<string>) => this.#take(JSON.parse(event.data) as FromServer);
    socket.onclose = ({ code }) => {
      if (this.#socket !== socket) return;
      if (code === LOGIN_AGAIN || code === NO_SUCH_HOLE) {
        this.#socket = null;
        this.connection = 'closed';
        this.shut(code === LOGIN_AGAIN ? 'login' : 'gone');
        return;
      }
      this.connection = 'lost';
      this.#timer = setTimeout(() => this.#connect(), this.#retry);
      this.#retry = Math.min(2 * this.#retry, RETRY_LONGEST);
    };
  }

  #edit(change: Change): Promise<Outcome> {
    // the token lets the server know an edit again that is sent twice after a lost connection
    const message: Outgoing = { ...change, id: this.#next++, token: unique() };
    return new Promise((done) => {
      // kept until the server has confirmed it: a lost connection sends it again
      this.#pending.set(message.id, { message, done });
      this.waiting = this.#pending.size;
      this.#unseen.set(message.id, { at: performance.now(), revision: null, pictured: false });
      this.#send(message);
    });
  }

  #send(message: object): void {
    if (this.#socket?.readyState === WebSocket.OPEN) this.#socket.send(JSON.stringify(message));
  }

  #settle(id: number, outcome: Outcome): void {
    if (outcome.kind !== 'accepted') this.#unseen.delete(id);
    const pending = this.#pending.get(id);
    this.#pending.delete(id);
    this.waiting = this.#pending.size;
    pending?.done(outcome);
  }

  #take(message: FromServer): void {
    switch (message.type) {
      case 'state':
        this.#merge(message);
        break;
      case 'ledger':
        this.#judge(message);
        break;
      case 'accepted':
        this.revision = Math.max(this.revision, message.revision);
        this.#became(message.id, message.revision);
        this.#settle(message.id, { kind: 'accepted', revision: message.revision });
        break;
      case 'refused':
        if (message.id !== null) this.#settle(message.id, { kind: 'refused', faults: message.faults });
        break;
      case 'conflict': {
        const by = message.by === NOBODY ? 'another page on this computer' : message.by;
        this.notice = `Not changed: ${by} changed ${message.keys.join(', ')} in the meantime. Look at it and change it again if you still want to.`;
        this.#settle(message.id, { kind: 'conflict', keys: message.keys, by });
        break;
      }
      case 'people':
        this.people = message.names;
        break;
      case 'notice':
        this.notice = message.text;
        break;
    }
  }

  #became(id: number, revision: number): void {
    const sent = this.#unseen.get(id);
    if (sent) sent.revision = revision;
    this.#measure();
  }

  /** Note in the browser's own timeline how long edits took to their picture and ledger, painted. */
  #measure(): void {
    const painted = (name: string, start: number): void => {
      requestAnimationFrame(() => setTimeout(() => performance.measure(name, { start }), 0));
    };
    for (const [id, sent] of this.#unseen) {
      if (sent.revision === null) continue;
      if (!sent.pictured && sent.revision <= this.pictured) {
        sent.pictured = true;
        painted('edit to picture', sent.at);
      }
      if (sent.revision <= this.judged) {
        this.#unseen.delete(id);
        painted('edit to ledger', sent.at);
      }
    }
  }

  #merge(message: Extract<FromServer, { type: 'state' }>): void {
    // every message is merged: each tells only what changed since the one before it
    this.revision = Math.max(this.revision, message.revision);
    if (message.scene) {
      this.#parts.take(message.scene);
      this.scene = this.#parts.whole;
    }
    if (message.faults) this.faults = message.faults;
    if (message.can_undo !== undefined) this.canUndo = message.can_undo;
    if (message.can_redo !== undefined) this.canRedo = message.can_redo;
    this.pictured = Math.max(this.pictured, message.revision);
    this.#measure();
  }

  #judge({ ledger, revision, scene }: Extract<FromServer, { type: 'ledger' }>): void {
    if (this.scene) this.#parts.take(scene);
    if (ledger.head) this.head = ledger.head;
    if (ledger.rows || ledger.gone) {
      for (const id of ledger.gone ?? []) this.#shown.delete(id);
      for (const parts of ledger.rows ?? []) {
        const row = { ...(this.#told.get(parts.id) as LedgerRow), ...parts };
        this.#told.set(row.id, row);
        this.#shown.add(row.id);
      }
      this.rows = [...this.#shown].map((id) => this.#told.get(id) as LedgerRow);
    }
    this.judged = Math.max(this.judged, revision);
    this.#measure();
  }
}

/** A name that no other has: of a gesture, of a message, of this page. */
export function unique(): string {
  return crypto.randomUUID?.() ?? `${Date.now()}-${Math.random().toString(36).slice(2)}`;
}

export const live = new Live();
