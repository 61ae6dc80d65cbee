// Codes nobody knows, cases inside each other, clocks that were wrong, and what phones could not use: one card each.
import { type FormEvent, useState } from 'react';
import { Link } from 'react-router';
import type { ClockMatter, CodeMatter, Leftover, LoopMatter } from '#domain/matter.ts';
import { searchAnswerSchema } from '#domain/search-hit.ts';
import { ask, type Refused } from '../data/ask.ts';
import { tieCode } from '../data/to-look-at.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { useOutfit } from './parts.tsx';
import { MatterCard, type MatterDeeds } from './to-look-at-card.tsx';
import { showNumber, showTime } from './words.ts';

type Settle = (deed: Promise<Refused | null>) => void;
const FOUND_MAX = 6;

interface FoundThing {
  readonly id: string;
  readonly name: string;
  readonly more: string;
}

async function findThings(text: string): Promise<readonly FoundThing[] | Refused> {
  const answer = await ask(`/api/search?q=${encodeURIComponent(text)}&limit=20`, searchAnswerSchema);
  if (!answer.ok) return answer;
  return answer.body.hits
    .flatMap(({ thing }) => (thing === null ? [] : [thing]))
    .slice(0, FOUND_MAX)
    .map(({ id, name, maker, model, serial }) => ({
      id,
      name,
      more: [maker, model, serial].filter(Boolean).join(' '),
    }));
}

function TieForm({ code, settle }: { readonly code: CodeMatter; readonly settle: Settle }) {
  const [text, setText] = useState('');
  const [found, setFound] = useState<readonly FoundThing[] | null>(null);
  const find = (event: FormEvent) => {
    event.preventDefault();
    void findThings(text).then((answer) => {
      if ('ok' in answer) settle(Promise.resolve(answer));
      else setFound(answer);
    });
  };
  return (
    <>
      <form className="row-form" onSubmit={find}>
        <Field
          label={`Which thing has ${code.code}`}
          value={text}
          maxLength={200}
          onChange={(event) => setText(event.target.value)}
        />
        <Button type="submit" disabled={text.trim() === ''}>
          Find it
        </Button>
      </form>
      <div className="look-found">
        {found?.map(({ id, name, more }) => (
          <Button key={id} onClick={() => settle(tieCode(code, id))}>
            {`Tie it to ${name}${more === '' ? '' : `, ${more}`}`}
          </Button>
        ))}
        {found?.length === 0 ? <p>Nothing is called that. Make the thing first, then tie the code.</p> : null}
      </div>
    </>
  );
}

export function CodeCard({
  code,
  settle,
  onLookedAt,
}: MatterDeeds & { readonly code: CodeMatter; readonly settle: Settle }) {
  const { zone } = useOutfit();
  const times = code.number === 1 ? 'Scanned once' : `Scanned ${code.number} times, the last time`;
  const where = [code.placeName ? `into ${code.placeName}` : '', code.device ? `by ${code.device}` : ''];
  return (
    <MatterCard
      matter="code"
      of={code}
      title={<span className="code">{code.code}</span>}
      facts={`${[times, ...where].filter(Boolean).join(' ')}, ${showTime(code.lastAt, zone)}.${code.note ? ` “${code.note}”` : ''}`}
      means="Somebody scanned this and nothing here has it. Tie it to a thing, and every scan of it counts for that thing from its own time. If it is somebody else’s, leave it."
      onLookedAt={onLookedAt}
    >
      <TieForm code={code} settle={settle} />
    </MatterCard>
  );
}

export function LoopCard({
  loop,
  onEnd,
  onLookedAt,
}: MatterDeeds & { readonly loop: LoopMatter; readonly onEnd: () => void }) {
  const { zone } = useOutfit();
  const { name, toName, countsAtName, ring } = loop;
  return (
    <MatterCard
      matter="loop"
      of={loop}
      title={`${name} and ${toName} are inside each other`}
      facts={`${[...ring, name].join(' in ')}. The latest line put ${name} into ${toName}, ${showTime(loop.at, zone)}${loop.device ? `, by ${loop.device}` : ''}.`}
      means={`Two devices put these into each other while they were out of the network. Until it is settled, that latest line is passed over: ${name} counts as ${countsAtName === null ? 'nowhere' : `in ${countsAtName}`}. Look where it really is, and scan it there once more, or say it here.`}
      onLookedAt={onLookedAt}
    >
      <p className="ways">
        {countsAtName === null ? null : <Button onClick={onEnd}>{`${name} is in ${countsAtName}`}</Button>}
        <Link className="button" to={`/things/${loop.thingId}`}>
          {`Open ${name}`}
        </Link>
      </p>
    </MatterCard>
  );
}

const UNITS = [
  ['day', 86_400_000],
  ['hour', 3_600_000],
  ['minute', 60_000],
  ['second', 1_000],
] as const;

/** The two largest units of a stretch of time: "2 hours 5 minutes". */
function stretchOf(ms: number): string {
  let rest = Math.abs(ms);
  const parts: string[] = [];
  for (const [unit, size] of UNITS) {
    const number = Math.floor(rest / size);
    rest -= number * size;
    if (number > 0 && parts.length < 2) parts.push(`${showNumber(number)} ${unit}${number === 1 ? '' : 's'}`);
  }
  return parts.length === 0 ? 'less than a second' : parts.join(' ');
}

export function ClockCard({ clock, onLookedAt }: MatterDeeds & { readonly clock: ClockMatter }) {
  const { zone } = useOutfit();
  const { device, number, offsetMs, measured } = clock;
  const lines = number === 1 ? '1 line' : `${showNumber(number)} lines`;
  const span = `${showTime(clock.firstAt, zone)} to ${showTime(clock.lastAt, zone)}`;
  const moved =
    Math.abs(offsetMs) < 1_000
      ? 'Its times were kept as the device said them.'
      : `They were moved together, ${stretchOf(offsetMs)} ${offsetMs > 0 ? 'later' : 'earlier'} than the device said; the time between them stays.`;
  const why = measured
    ? 'The clock was compared with the service’s, but the times still did not fit between the lines before and the moment they arrived.'
    : 'Nobody could compare this device’s clock with the service’s while it ran.';
  return (
    <MatterCard
      matter="clock"
      of={clock}
      title={`${device}: ${lines} with a time that is not sure`}
      facts={`${span}.`}
      means={`${why} ${moved} Their order is right; the hour may not be. There is nothing to do but to set the device’s clock by the network.`}
      onLookedAt={onLookedAt}
    />
  );
}

const WORD_OF_LEFTOVER: Readonly<Record<Leftover['what'], string>> = {
  movement: 'A line',
  stop: 'A stop',
  row: 'A row of the phone',
};

export function LeftoverCard({ leftover, onLookedAt }: MatterDeeds & { readonly leftover: Leftover }) {
  const { zone } = useOutfit();
  const { id, what, why, device, receivedAt, characters } = leftover;
  return (
    <MatterCard
      matter="leftover"
      of={leftover}
      title={`${WORD_OF_LEFTOVER[what]} that can’t be used, from ${device ?? 'a phone'}`}
      facts={`${why} Received ${showTime(receivedAt, zone)}, ${showNumber(characters)} characters.`}
      means="The phone could not make anything of it, or the service refused it for good. Nothing was done with it. Save it and read what was meant, then scan or write that again; a copy stays here and in the phone’s drawer."
      onLookedAt={onLookedAt}
    >
      <p>
        <a className="button" href={`/api/leftovers/${id}/text`} download>
          Save it as a file
        </a>
      </p>
    </MatterCard>
  );
}
