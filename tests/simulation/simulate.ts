// An evening from one seed: phones write things down, a net loses, doubles and delays what they send, a service
// keeps it. It ends when the net has been good for long enough that nothing is left on its way.
import type { Recorded } from '#domain/movement.ts';
import { FIXED, MOVING, makeLine, place, thing } from '../domain/making.ts';
import { type Dice, throwDice } from './dice.ts';
import { type Phone, switchOnPhone } from './phone.ts';
import { type Reply, type Request, type Service, startService } from './service.ts';

const SECOND = 1_000;
const MINUTE = 60 * SECOND;
const HOUR = 60 * MINUTE;
const STARTS_AT = Date.parse('2026-06-12T18:00:00Z');
const STEPS = 400;
/** One way through the net takes this long at most, unless a message is held up. */
const NET_DELAY_MS_MAX = 2 * SECOND;
const HELD_UP_MS_MAX = 30 * MINUTE;
const ITEMS = ['lamp', 'lens', ...MOVING];
const COUNTED = ['cables', 'clamps'];

/** What is on its way: to the service, or back to a phone. */
interface Message {
  readonly arrivesAt: number;
  readonly sentAt: number;
  readonly phone: Phone;
  readonly request: Request | null;
  readonly reply: Reply | null;
}

export interface Evening {
  readonly seed: number;
  readonly phones: readonly Phone[];
  readonly service: Service;
  /** What happened, line by line, as a person would read it. */
  readonly happenings: readonly string[];
  readonly tally: Readonly<Record<string, number>>;
}

interface Course {
  readonly dice: Dice;
  readonly phones: readonly Phone[];
  readonly service: Service;
  readonly messages: Message[];
  readonly tell: (what: string, now: number, details: string) => void;
}

export function simulate(seed: number): Evening {
  const dice = throwDice(seed);
  const happenings: string[] = [];
  const tally: Record<string, number> = {};
  const tell = (what: string, now: number, details: string) => {
    tally[what] = (tally[what] ?? 0) + 1;
    happenings.push(`${new Date(now).toISOString().slice(11, 23)}  ${what.padEnd(14)} ${details}`);
  };
  const phones = ['Ines', 'Tomé', 'spare'].map((name) =>
    switchOnPhone(name, dice.between(-3 * HOUR, 3 * HOUR)),
  );
  const course: Course = { dice, phones, service: startService(), messages: [], tell };
  let now = STARTS_AT;
  for (let step = 0; step < STEPS; step += 1) {
    now += dice.between(1, 2 * MINUTE);
    deliver(course, now);
    takeAStep(course, dice.oneOf(phones), now);
  }
  tell('net mended', now, '');
  // A late message may still be on its way; then every phone sends all it has, and hears what the others sent.
  now += HELD_UP_MS_MAX + HOUR;
  deliver(course, now);
  deliver(course, now + HOUR);
  for (let round = 0; round < 3; round += 1) {
    for (const phone of phones) {
      now += MINUTE;
      const reply = course.service.receive(phone.request(phone.outbox()), now);
      phone.hear(reply, now, now);
    }
  }
  return { seed, phones, service: course.service, happenings, tally };
}

function takeAStep(course: Course, phone: Phone, now: number): void {
  const { dice, tell } = course;
  const what = dice.roll();
  if (what < 0.55) {
    const written = phone.write(somethingSaid(dice), now);
    if (written === null) tell('loop refused', now, phone.name);
    else tell('wrote', now, `${phone.name} ${nameOf(written)}`);
  } else if (what < 0.63) {
    const lines = phone.lines();
    if (lines.length === 0) return;
    const line = dice.oneOf(lines);
    phone.undo(line, now);
    tell('undid', now, `${phone.name} ${nameOf(line)}`);
  } else if (what < 0.68) {
    const jumps = dice.happens(0.5);
    const by = jumps ? dice.between(-2 * HOUR, 2 * HOUR) : 0;
    phone.restart(by);
    tell(jumps ? 'clock set' : 'restarted', now, `${phone.name} by ${Math.round(by / SECOND)} s`);
  } else send(course, phone, now);
}

function somethingSaid(dice: Dice): Recorded {
  const places = [...FIXED.map(({ id }) => id), ...MOVING.map(place)];
  const toId = dice.oneOf(places);
  const roll = dice.roll();
  if (roll < 0.6) return makeLine('move', { at: 0, thingId: thing(dice.oneOf(ITEMS)), toId });
  const thingId = thing(dice.oneOf(COUNTED));
  if (roll < 0.7) return makeLine('hand-count', { at: 0, thingId, toId, number: dice.between(0, 20) });
  if (roll < 0.95) {
    const fromId = dice.happens(0.2) ? null : dice.oneOf(places);
    return makeLine('quantity', { at: 0, thingId, toId, fromId, number: dice.between(1, 9) });
  }
  const contents = [thing(dice.oneOf(ITEMS))];
  return makeLine('seal', { at: 0, thingId: thing(dice.oneOf(MOVING)), contents });
}

/** Some of the outbox in any order, now and then with lines that were answered long ago. */
function send(course: Course, phone: Phone, now: number): void {
  const { dice } = course;
  const again = dice.happens(0.1) ? phone.lines().filter((line) => phone.trueTimes.has(line.id)) : [];
  const lines = [...new Map([...phone.outbox(), ...again].map((line) => [line.id, line])).values()]
    .filter(() => dice.happens(0.8))
    .map((line) => ({ line, turn: dice.roll() }))
    .sort((a, b) => a.turn - b.turn)
    .map(({ line }) => line);
  course.tell('sent', now, `${phone.name} ${lines.length} lines`);
  put(course, { arrivesAt: now, sentAt: now, phone, request: phone.request(lines), reply: null });
}

function put(course: Course, message: Message): void {
  const { dice, tell, messages } = course;
  const fate = dice.roll();
  const kind = message.request === null ? 'reply' : 'request';
  if (fate < 0.25) {
    tell('lost', message.arrivesAt, `${kind} ${message.phone.name}`);
    return;
  }
  const copies = fate < 0.4 ? 2 : 1;
  if (copies === 2) tell('doubled', message.arrivesAt, `${kind} ${message.phone.name}`);
  for (let copy = 0; copy < copies; copy += 1) {
    const late = dice.happens(0.15);
    if (late) tell('held up', message.arrivesAt, `${kind} ${message.phone.name}`);
    const takes = dice.between(1, late ? HELD_UP_MS_MAX : NET_DELAY_MS_MAX);
    messages.push({ ...message, arrivesAt: message.arrivesAt + takes });
  }
}

function deliver(course: Course, now: number): void {
  const { messages, service, tell } = course;
  for (;;) {
    messages.sort((a, b) => a.arrivesAt - b.arrivesAt);
    const message = messages[0];
    if (message === undefined || message.arrivesAt > now) return;
    messages.shift();
    const { phone, arrivesAt, sentAt, request, reply } = message;
    if (request !== null) {
      const answered = service.receive(request, arrivesAt);
      for (const { answer } of answered.answers) tell(answer, arrivesAt, phone.name);
      put(course, { ...message, request: null, reply: answered });
    }
    if (reply !== null) {
      phone.hear(reply, sentAt, arrivesAt);
      tell('heard', arrivesAt, `${phone.name} ${reply.answers.length} answers, ${reply.feed.length} lines`);
    }
  }
}

const nameOf = (line: Recorded) => `${line.kind} no. ${line.deviceNo}`;
