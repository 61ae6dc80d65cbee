// One line of what is still out there: what, why, where it was last put down, since when, and the next step.
import { Link } from 'react-router';
import type { OutLine } from '#domain/out-line.ts';
import { usePeople, useStops } from '../data/names.ts';
import type { Places } from '../data/places.ts';
import { Button } from '../look/button.tsx';
import { PlaceChain, useOutfit } from './parts.tsx';
import { isMissing } from './still-out-groups.ts';
import {
  showDate,
  showDays,
  showMoney,
  showTime,
  WORD_OF_URGENCY,
  WORD_OF_WHOSE,
  wordOfSaid,
} from './words.ts';

export type Step = 'found' | 'ask' | 'write-off';
export const STEPS: readonly (readonly [step: Step, word: string, key: string])[] = [
  ['found', 'Found', 'f'],
  ['ask', 'Ask', 'a'],
  ['write-off', 'Write off', 'o'],
];

export const wordOfWhy = (why: OutLine['why']): string => (why === 'overdue' ? 'overdue' : wordOfSaid(why));

function What({ line }: { readonly line: OutLine }) {
  const marks = [
    [line.maker, line.model, line.serial].filter(Boolean).join(' '),
    line.whose === 'ours' ? '' : WORD_OF_WHOSE[line.whose],
    line.urgency === 'by-value' ? '' : WORD_OF_URGENCY[line.urgency],
  ].filter(Boolean);
  return (
    <th scope="row">
      {line.kind === 'item' && line.number === 1 ? null : (
        <span className="out-number">{line.number} × </span>
      )}
      <Link to={`/things/${line.thingId}`}>{line.name}</Link>
      {marks.length > 0 ? <span className="small out-more">{marks.join(' · ')}</span> : null}
    </th>
  );
}

function Why({ line, zone }: { readonly line: OutLine; readonly zone: string }) {
  const isBad = isMissing(line) || line.why === 'overdue';
  return (
    <td className="out-why">
      <span className={isBad ? 'word tone-bad strong' : 'word'}>{wordOfWhy(line.why)}</span>
      {line.note ? <span className="small out-more">{line.note}</span> : null}
      {line.dueOn ? <span className="small out-more">due back {showDate(line.dueOn)}</span> : null}
      {line.asked ? (
        <span className="small out-more">
          asked {line.asked.whom}, {showTime(line.asked.at, zone)}
        </span>
      ) : null}
    </td>
  );
}

function Where({ line, places }: { readonly line: OutLine; readonly places: Places | null }) {
  const person = usePeople().get(line.personId ?? '')?.name;
  return (
    <td className="out-where">
      {line.spot ? <strong>{line.spot}, </strong> : null}
      {line.placeId ? <PlaceChain placeId={line.placeId} places={places} /> : 'nobody knows where'}
      {line.outThere.map(({ placeId, number }) => (
        <span key={placeId} className="small out-more">
          {number} went in at <PlaceChain placeId={placeId} places={places} />
        </span>
      ))}
      {person ? <span className="small"> by {person}</span> : null}
    </td>
  );
}

/** When, in the zone of the stop; on a narrow screen the days alone, which say most. */
function Since({ line }: { readonly line: OutLine }) {
  const { zone } = useOutfit();
  const stop = useStops().get(line.stopId ?? '');
  return (
    <td className="number out-for">
      <span className="strong">{showDays(line.days)}</span>
      {line.since === null ? null : (
        <span className="small out-more">{showTime(line.since, stop?.zone ?? zone)}</span>
      )}
    </td>
  );
}

interface OutRowProps {
  readonly line: OutLine;
  readonly places: Places | null;
  readonly seesValues: boolean;
  readonly selected: boolean;
  readonly onSelect: (selected: boolean) => void;
  readonly onStep: (step: Step) => void;
}

export function OutRow({ line, places, seesValues, selected, onSelect, onStep }: OutRowProps) {
  const { zone } = useOutfit();
  return (
    <tr data-selected={selected || undefined}>
      <td className="out-box">
        <span className="only-on-paper out-tick" aria-hidden="true" />
        <input
          type="checkbox"
          className="not-on-paper"
          aria-label={`Select ${line.name}`}
          checked={selected}
          onChange={(event) => onSelect(event.target.checked)}
        />
      </td>
      <What line={line} />
      <Why line={line} zone={zone} />
      <Where line={line} places={places} />
      <Since line={line} />
      {seesValues ? <td className="number out-value not-on-paper">{showMoney(line.value)}</td> : null}
      <td className="out-steps not-on-paper">
        {STEPS.map(([step, word]) => (
          <Button key={step} kind="quiet" aria-label={`${word}: ${line.name}`} onClick={() => onStep(step)}>
            {word}
          </Button>
        ))}
      </td>
    </tr>
  );
}
