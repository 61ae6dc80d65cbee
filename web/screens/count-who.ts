// Who answered a line: a person by name, else the phone, told apart by a letter in the order in which they first spoke.
import type { Count, LineSaid } from '#domain/count-shape.ts';
import type { DeviceId } from '#domain/ids.ts';

/** A name for whoever said it. `people`: names by id. */
export function whoFinder(
  count: Count,
  people: ReadonlyMap<string, { readonly name: string }>,
): (said: LineSaid | null) => string {
  const devices: DeviceId[] = [];
  const spoken = count.lines.flatMap(({ said }) => said ?? []).sort((a, b) => a.at - b.at);
  for (const { said, personId, deviceId } of spoken) {
    if (personId !== null || deviceId === null || said === 'on-paper' || devices.includes(deviceId)) continue;
    devices.push(deviceId);
  }
  return (said) => {
    if (said === null) return '';
    const person = said.personId === null ? undefined : people.get(said.personId)?.name;
    if (person !== undefined) return person;
    if (said.said === 'on-paper') return 'paper';
    const device = said.deviceId === null ? -1 : devices.indexOf(said.deviceId);
    return device < 0 ? '' : `phone ${letterOf(device)}`;
  };
}

const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ';
const letterOf = (index: number) => LETTERS[index] ?? String(index + 1);
