/** As browsers have it. */
declare const MessageChannel: new () => {
  readonly port1: { onmessage?: () => void };
  readonly port2: { postMessage(message: null): void };
};

/** Runs `work` once what has already arrived was handled. Timers of a browser would wait four milliseconds. */
export const soon: (work: () => void) => void =
  typeof setImmediate === 'function' ? work => void setImmediate(work) : throughChannel();

/** Hands control back, so that a request or a keystroke can come in between. */
export function pause(): Promise<void> {
  return new Promise(resolve => soon(resolve));
}

/** Once as much time has gone by, in milliseconds. */
export function later(milliseconds: number): Promise<void> {
  return new Promise(resolve => setTimeout(resolve, milliseconds));
}

function throughChannel(): (work: () => void) => void {
  const { port1, port2 } = new MessageChannel();
  const waiting: (() => void)[] = [];
  port1.onmessage = () => waiting.shift()?.();
  return work => {
    waiting.push(work);
    port2.postMessage(null);
  };
}
