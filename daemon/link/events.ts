/** What the link has to say about itself; for the log, the journal and alarms. */
export type LinkEvent =
  | { readonly kind: 'status'; readonly status: LinkStatus }
  | { readonly kind: 'overflow'; readonly queue: 'events' | 'retained' }
  | { readonly kind: 'too-large'; readonly topic: string; readonly bytes: number }
  | { readonly kind: 'command-lost'; readonly topic: string; readonly why: 'offline' | 'expired' | 'link-lost' }
  | { readonly kind: 'subscription-refused'; readonly topic: string }
  | { readonly kind: 'displaced'; readonly owner: string }
  | { readonly kind: 'second-owner'; readonly owner: string }
  | { readonly kind: 'trouble'; readonly message: string };

/** displaced: another daemon took our place; we stay out until somebody restarts us. */
export type LinkStatus = 'connecting' | 'online' | 'offline' | 'displaced' | 'closed';

export interface Message {
  readonly topic: string;
  /** Null where it was larger than allowed and not taken. */
  readonly payload: Uint8Array | null;
  readonly retained: boolean;
  /** Monotonic clock of the process [ms]. */
  readonly arrivalMs: number;
}
