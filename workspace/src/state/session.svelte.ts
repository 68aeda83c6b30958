// Who is here, and which holes there are.
import { get, post, Refused, setToken } from '../api/rest';
import type { HoleEntry, Session } from '../api/types';
import { live } from './live.svelte';
import { view } from './view.svelte';

class SessionState {
  state = $state<'starting' | 'login' | 'ready'>('starting');
  trouble = $state('');
  who = $state.raw<Session | null>(null);
  holes = $state.raw<HoleEntry[]>([]);
  #last = ''; // who was here last

  readonly mayEdit = $derived(this.who?.role === 'edit' || this.who?.role === 'sign');
  readonly maySign = $derived(this.who?.role === 'sign');

  async start(): Promise<void> {
    try {
      this.who = await get<Session>('/session');
      setToken(this.who.csrf);
      this.trouble = '';
      if (this.who.login_needed && !this.who.user) {
        this.state = 'login';
        return;
      }
      await this.list();
      this.state = 'ready';
      const same = this.#last === this.who.user;
      this.#last = this.who.user;
      if (live.hole) {
        // a session that ended over an open hole: nobody's changes are sent in another's name
        if (same) live.resume();
        else live.open(live.hole);
        return;
      }
      const known = this.holes.find((one) => one.id === asked());
      const only = this.holes.length === 1 ? this.holes[0] : undefined;
      const first = known ?? only;
      if (first) this.choose(first.id);
    } catch (error) {
      this.trouble = error instanceof Refused ? error.message : 'The server does not answer. Is it still running?';
      setTimeout(() => void this.start(), 2000);
    }
  }

  async list(): Promise<void> {
    this.holes = await get<HoleEntry[]>('/holes');
  }

  choose(id: string): void {
    // steps, strings and checks of the hole that was looked at before are not this one's
    view.step = view.string = view.check = '';
    history.replaceState(null, '', `#${encodeURIComponent(id)}`);
    live.open(id);
  }

  /** Open the hole that the address asks for now; where it asks for none there is, say where the reader is. */
  follow(): void {
    if (this.state !== 'ready' || asked() === live.hole) return;
    if (this.holes.some((one) => one.id === asked())) this.choose(asked());
    else if (live.hole) history.replaceState(null, '', `#${encodeURIComponent(live.hole)}`);
  }

  leave(): void {
    live.close();
    live.hole = '';
    history.replaceState(null, '', location.pathname);
    void this.list();
  }

  async login(name: string, password: string): Promise<void> {
    await post('/login', { name, password });
    await this.start();
  }

  async logout(): Promise<void> {
    await post('/logout');
    live.close();
    live.hole = '';
    await this.start();
  }
}

/** The hole that the address in the browser names; empty where it cannot be read. */
function asked(): string {
  try {
    return decodeURIComponent(location.hash.slice(1));
  } catch {
    return '';
  }
}

export const session = new SessionState();

live.shut = (why) => {
  if (why === 'login') return void session.start();
  const gone = live.hole;
  session.leave();
  live.notice = `There is no hole ${gone} on the server any more: its folder was moved or taken away. ${live.notice}`.trim();
};
