// What a field of a form holds.

/** The text of a field, without spaces around it; empty where it is not there. */
export function textIn(form: FormData, name: string): string {
  const value = form.get(name);
  return typeof value === 'string' ? value.trim() : '';
}
