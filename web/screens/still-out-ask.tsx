// "Ask": a short message that can be copied, mailed or read out, and the note that it was asked, whom and when.
import { useId, useState } from 'react';
import { type AskingFacts, askingText, SAID_MAX } from '#domain/asking.ts';
import type { OutLine } from '#domain/out-line.ts';
import type { Party } from '#domain/party.ts';
import { chainFrom, type Places } from '../data/places.ts';
import { Button } from '../look/button.tsx';
import { Dialog } from '../look/dialog.tsx';
import { Field } from '../look/field.tsx';
import { useOutfit } from './parts.tsx';
import type { StepProps } from './still-out-found.tsx';
import { showTime } from './words.ts';

const WAYS: readonly (readonly [AskingFacts['way'], string])[] = [
  ['message', 'by message'],
  ['e-mail', 'by e-mail'],
  ['call', 'by phone'],
  ['in-person', 'in person'],
];

function textOf(
  lines: readonly OutLine[],
  places: Places | null,
  outfit: { name: string; zone: string },
): string {
  const things = lines.map((line) => {
    // Whoever has it need not be told where: at most the place and what it is in.
    const chain =
      line.placeId === null || places === null ? [] : chainFrom(line.placeId, places.byId).slice(0, 2);
    const where = [line.spot, chain.map(({ name }) => name).join(' in ')].filter(Boolean).join(', ');
    return {
      name: line.name,
      number: line.number,
      facts: [line.maker, line.model, line.serial].filter((fact) => fact !== null),
      where: where === '' ? null : where,
      when: line.since === null ? null : showTime(line.since, outfit.zone),
    };
  });
  return askingText(things, outfit.name);
}

/** The one party that all of the lines are with or belong to; null when there is none or there are several. */
function partyOf(lines: readonly OutLine[], parties: readonly Party[]): Party | null {
  const ids = lines.map((line) => {
    const held = parties.find(({ id }) => id === line.placeId);
    return held ?? parties.find(({ id }) => id === line.ownerPlaceId);
  });
  const [first] = ids;
  return first !== undefined && ids.every((party) => party === first) ? first : null;
}

function Reach({
  party,
  text,
  onUsed,
}: {
  readonly party: Party | null;
  readonly text: string;
  readonly onUsed: (way: AskingFacts['way']) => void;
}) {
  const [copied, setCopied] = useState<'no' | 'yes' | 'failed'>('no');
  const copy = () => {
    navigator.clipboard
      .writeText(text)
      .then(() => setCopied('yes'))
      .catch(() => setCopied('failed'));
    onUsed('message');
  };
  const subject = encodeURIComponent('Have you seen this?');
  return (
    <>
      <div className="ways out-reach">
        <Button onClick={copy}>Copy the message</Button>
        {party?.email ? (
          <a
            className="button"
            href={`mailto:${encodeURIComponent(party.email)}?subject=${subject}&body=${encodeURIComponent(text)}`}
            onClick={() => onUsed('e-mail')}
          >
            {`Write to ${party.email}`}
          </a>
        ) : null}
        {party?.phone ? (
          <a
            className="button"
            href={`tel:${party.phone.replace(/[^\d+]/g, '')}`}
            onClick={() => onUsed('call')}
          >
            {`Call ${party.phone}`}
          </a>
        ) : null}
      </div>
      <p role="status" className="small">
        {copied === 'yes' ? 'Copied. Paste it where you write to them.' : ''}
        {copied === 'failed'
          ? 'This browser does not let the page copy. Select the text and copy it yourself.'
          : ''}
      </p>
    </>
  );
}

interface AskDialogProps extends StepProps {
  readonly parties: readonly Party[];
  readonly onAsked: (asked: Omit<AskingFacts, 'thingId' | 'lineId'>) => void;
}

export function AskDialog({ lines, places, parties, onClose, onAsked }: AskDialogProps) {
  const outfit = useOutfit();
  const party = partyOf(lines, parties);
  const [text, setText] = useState(() => textOf(lines, places, outfit));
  const [whom, setWhom] = useState(party?.name ?? '');
  const [way, setWay] = useState<AskingFacts['way']>('message');
  const id = useId();
  const note = () => onAsked({ whom: whom.trim(), way, said: text, partyId: party?.id ?? null });
  const title = lines.length === 1 ? `Ask for ${lines[0]?.name}` : `Ask for ${lines.length} things`;
  const ways = (
    <>
      <Button onClick={onClose}>Not now</Button>
      <Button kind="main" disabled={whom.trim() === ''} onClick={note}>
        Note that it was asked
      </Button>
    </>
  );
  return (
    <Dialog open title={title} onClose={onClose} ways={ways}>
      <div className="field">
        <label htmlFor={id}>The message</label>
        <textarea
          id={id}
          rows={7}
          maxLength={SAID_MAX}
          value={text}
          onChange={(event) => setText(event.target.value)}
        />
      </div>
      <Reach party={party} text={text} onUsed={setWay} />
      <div className="row-form">
        <Field
          label="Who was asked"
          value={whom}
          maxLength={300}
          onChange={(event) => setWhom(event.target.value)}
        />
        <div className="field">
          <label htmlFor={`${id}-way`}>How</label>
          <select
            id={`${id}-way`}
            value={way}
            onChange={(event) => setWay(WAYS.find(([key]) => key === event.target.value)?.[0] ?? 'message')}
          >
            {WAYS.map(([key, word]) => (
              <option key={key} value={key}>
                {word}
              </option>
            ))}
          </select>
        </div>
      </div>
    </Dialog>
  );
}
