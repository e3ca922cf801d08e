/** The process that started the editor: takes reports, and works the page that the editor is shown in. */

/** Set when the tests are bundled. */
declare const HOST_ADDRESS: string;
/** As Node and browsers have it. */
declare const fetch: (url: string, options: { method: string; body: string }) => Promise<{ json(): Promise<unknown> }>;

/** Asks the host for something; throws with its words where it can't. */
export async function ask<T>(action: string, message: object = {}): Promise<T> {
  const response = await fetch(`${HOST_ADDRESS}/${action}`, { method: 'POST', body: JSON.stringify(message) });
  const { value, error } = (await response.json()) as { value: T; error?: string };
  if (error !== undefined) throw new Error(error);
  return value;
}
