// The open lines of a count as they stand on the sheet, compartment by compartment, each with its box.
import { isOpen } from '#domain/count-compartments.ts';
import type { CompartmentAnswer, Count, CountLine } from '#domain/count-shape.ts';
import { type PaperTick, type PaperTicks, paperKeyOf } from '#domain/from-paper.ts';
import type { PlaceId } from '#domain/ids.ts';
import { ABSENCES, type Absence } from '#domain/movement.ts';
import { Button } from '../look/button.tsx';
import { Empty } from '../look/empty.tsx';
import { Tape } from '../look/tape.tsx';
import { WORD_OF_ABSENCE } from './words.ts';

interface Ticking {
  readonly ticks: PaperTicks;
  readonly onTick: (ticks: PaperTicks) => void;
}

function withLine(ticks: PaperTicks, key: string, tick: PaperTick | null): PaperTicks {
  const lines = new Map(ticks.lines);
  if (tick === null) lines.delete(key);
  else lines.set(key, tick);
  return { ...ticks, lines };
}

function withCompartment(
  ticks: PaperTicks,
  placeId: PlaceId,
  check: 'on-paper' | 'not-opened' | null,
): PaperTicks {
  const compartments = new Map(ticks.compartments);
  if (check === null) compartments.delete(placeId);
  else compartments.set(placeId, check);
  return { ...ticks, compartments };
}

/** Of counted gear: how many there were; nothing typed means all of them. */
function NumberHere({
  line,
  tick,
  onSay,
}: {
  readonly line: CountLine;
  readonly tick: PaperTick | undefined;
  readonly onSay: (tick: PaperTick | null) => void;
}) {
  const number = tick?.said === 'here' ? (tick.number ?? line.expected) : '';
  return (
    <span className="paper-number">
      <input
        type="number"
        min={0}
        max={1_000_000_000}
        step={1}
        inputMode="numeric"
        aria-label={`How many ${line.name} there were`}
        value={number}
        onChange={(event) => {
          const typed = event.target.valueAsNumber;
          onSay(Number.isInteger(typed) && typed >= 0 ? { said: 'here', number: typed } : null);
        }}
      />{' '}
      of {line.expected}
    </span>
  );
}

function LineRow({ line, ticks, onTick }: { readonly line: CountLine } & Ticking) {
  const key = paperKeyOf(line);
  const tick = ticks.lines.get(key);
  const say = (next: PaperTick | null) => onTick(withLine(ticks, key, next));
  const finding = tick === undefined || tick.said === 'here' ? '' : tick.said;
  return (
    <tr>
      <th scope="row">
        <label className="paper-tick">
          <input
            type="checkbox"
            checked={tick?.said === 'here'}
            onChange={(event) => say(event.target.checked ? { said: 'here' } : null)}
          />
          <span>
            {line.name}
            {line.last?.spot ? <span className="small"> {line.last.spot}</span> : null}
          </span>
        </label>
      </th>
      <td className="number">
        {line.kind === 'item' ? null : <NumberHere line={line} tick={tick} onSay={say} />}
      </td>
      <td>
        <select
          aria-label={`Why ${line.name} is not here`}
          value={finding}
          onChange={(event) => {
            const said = ABSENCES.find((one): one is Absence => one === event.target.value);
            say(said === undefined ? null : { said });
          }}
        >
          <option value="">–</option>
          {ABSENCES.map((one) => (
            <option key={one} value={one}>
              {WORD_OF_ABSENCE[one]}
            </option>
          ))}
        </select>
      </td>
    </tr>
  );
}

function CompartmentAnswers({
  compartment,
  ticks,
  onTick,
}: { readonly compartment: CompartmentAnswer } & Ticking) {
  const { placeId, name } = compartment;
  const said = ticks.compartments.get(placeId);
  const box = (check: 'on-paper' | 'not-opened', word: string) => (
    <label className="paper-tick">
      <input
        type="checkbox"
        checked={said === check}
        aria-label={`${name}: ${word}`}
        onChange={(event) => onTick(withCompartment(ticks, placeId, event.target.checked ? check : null))}
      />
      <span>{word}</span>
    </label>
  );
  return (
    <>
      {box('on-paper', 'compartment ticked')}
      {box('not-opened', 'not opened')}
    </>
  );
}

function CompartmentPart({
  compartment,
  lines,
  ...ticking
}: { readonly compartment: CompartmentAnswer; readonly lines: readonly CountLine[] } & Ticking) {
  const { ticks, onTick } = ticking;
  const tickAll = () =>
    onTick(lines.reduce((all, line) => withLine(all, paperKeyOf(line), { said: 'here' }), ticks));
  return (
    <section className="paper-compartment">
      <Tape level={2} figure={lines.length === 0 ? 'no open line' : `${lines.length} open`}>
        {compartment.name}
      </Tape>
      <div className="paper-answers">
        <CompartmentAnswers compartment={compartment} {...ticking} />
        {lines.length > 1 ? (
          <Button kind="quiet" onClick={tickAll}>
            Tick all {lines.length}
          </Button>
        ) : null}
      </div>
      {lines.length === 0 ? null : (
        <table className="paper-table" aria-label={compartment.name}>
          <thead>
            <tr>
              <th scope="col">Aboard</th>
              <th scope="col" className="number">
                How many
              </th>
              <th scope="col">Or</th>
            </tr>
          </thead>
          <tbody>
            {lines.map((line) => (
              <LineRow key={paperKeyOf(line)} line={line} {...ticking} />
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}

/** What waits for an answer; what was ticked stays in view, also when a phone has answered it meanwhile. */
export function PaperLines({ count, ...ticking }: { readonly count: Count } & Ticking) {
  const isShown = (line: CountLine) => isOpen(line) || ticking.ticks.lines.has(paperKeyOf(line));
  const parts = count.compartments.map((compartment) => ({
    compartment,
    lines: count.lines.filter((line) => line.compartmentId === compartment.placeId && isShown(line)),
  }));
  const waiting = parts.filter(
    ({ compartment, lines }) =>
      lines.length > 0 || compartment.answer === null || ticking.ticks.compartments.has(compartment.placeId),
  );
  if (waiting.length === 0) {
    return (
      <Empty title="Nothing is open.">
        <p>Every line and every compartment of this count has an answer.</p>
      </Empty>
    );
  }
  return waiting.map(({ compartment, lines }) => (
    <CompartmentPart key={compartment.placeId} compartment={compartment} lines={lines} {...ticking} />
  ));
}
