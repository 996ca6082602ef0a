// This device's clock beside the garden server's. Phones' clocks are hours wrong, and jump; what one says is kept as it says it, with how far
// it was ahead when last compared. The server decides how to read the two.

export interface Compared {
  offset_ms: number; // this clock minus the server's
  at: number; // by this clock
}

export interface Jump {
  from_ms: number; // offset before
  to_ms: number;
  after: number; // by this clock: compared last before it, and first after it
  before: number;
}

// Half the time on the way is all that is known of when the server looked at its clock, which shows whole seconds.
export function compare(sent: number, received: number, serverIso: string): Compared | null {
  const server = Date.parse(serverIso);
  if (!Number.isFinite(server) || received < sent || received - sent > 10_000) return null;
  return { offset_ms: Math.round((sent + received) / 2 - (server + 500)), at: received };
}

export const jumpOf = 60_000;

export function jumped(before: Compared | null, now: Compared): Jump | null {
  if (before === null || Math.abs(now.offset_ms - before.offset_ms) < jumpOf) return null;
  return { from_ms: before.offset_ms, to_ms: now.offset_ms, after: before.at, before: now.at };
}

// The offset to write beside a time read off this clock now. `steady` runs on whatever the clock is set to, but may stand still while the
// device sleeps: only a clock that went backwards against it was surely set. A jump forward shows at the next comparison.
export class PhoneClock {
  private compared: Compared | null = null;
  private steadyThen: number | null = null;

  constructor(private readonly now: () => number, private readonly steady: () => number) {}

  // As remembered from an earlier page: no steady clock goes with it.
  recall(compared: Compared): void {
    if (this.compared === null) this.compared = compared;
  }

  note(compared: Compared): Jump | null {
    const jump = jumped(this.compared, compared);
    this.compared = compared;
    this.steadyThen = this.steady();
    return jump;
  }

  last(): Compared | null {
    return this.compared;
  }

  offsetMs(): number | null {
    if (this.compared === null) return null;
    if (this.steadyThen === null) return this.compared.offset_ms;
    const drift = this.now() - this.compared.at - (this.steady() - this.steadyThen);
    return drift < -5_000 ? this.compared.offset_ms + drift : this.compared.offset_ms;
  }

  // Our best guess of the server's clock, Unix milliseconds.
  serverNow(): number {
    return this.now() - (this.offsetMs() ?? 0);
  }
}

export const wrongBy = 60_000; // as core/garden reads it: less is no news
