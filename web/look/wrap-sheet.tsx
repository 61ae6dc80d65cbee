// The wrap sheet as paper: one page, black on white, to tick with a pencil. Desk and phone draw it with this one part.
import './wrap-sheet.css';
import type { SheetCompartment, SheetRest, SheetRow, WrapSheet } from '#domain/wrap-sheet.ts';

// What is often forgotten is most of what is out: the word would only take the room of the place.
const WORD_OF_WHY: Readonly<Record<NonNullable<SheetRow['why']>, string>> = {
  missing: 'not found yet',
  'holds-rushes': 'holds rushes',
  ours: '',
  'rented-in': 'rented in',
  borrowed: 'borrowed',
  client: 'client’s',
  'often-forgotten': '',
};
// More lines than any page has room for: those that do not fit are cut off.
const WRITING_LINES = Array.from({ length: 30 }, (_, line) => line);

/** A box to tick; for counted gear one to write into how many there are. */
function Row({ row }: { readonly row: SheetRow }) {
  const where = [row.spot, row.place].filter(Boolean).join(', ');
  const why = row.why === null ? '' : WORD_OF_WHY[row.why];
  return (
    <li>
      <span className={row.number === null ? 'sheet-box' : 'sheet-box sheet-box-number'} />
      {row.number === null ? null : <span className="sheet-of">of {row.number}</span>}
      <span className="sheet-name">{row.name}</span>
      {why === '' ? null : <span className="sheet-why">{why}</span>}
      <span className="sheet-where">{where}</span>
    </li>
  );
}

const listed = (rest: SheetRest): string => {
  const elsewhere = rest.rows - rest.at.reduce((sum, { rows }) => sum + rows, 0);
  const places = rest.at.map(({ place, rows }) => `${rows} at ${place}`);
  return [...places, ...(elsewhere > 0 && places.length > 0 ? [`${elsewhere} elsewhere`] : [])].join(' · ');
};

function Part({
  title,
  empty,
  part,
}: {
  readonly title: string;
  readonly empty: string;
  readonly part: WrapSheet['out'];
}) {
  const number = part.rows.length + part.rest.rows;
  return (
    <section className="sheet-part">
      <h2>
        {title} <span className="sheet-count">{number === 0 ? empty : number}</span>
      </h2>
      <ul className="sheet-rows">
        {part.rows.map((row) => (
          <Row key={row.key} row={row} />
        ))}
      </ul>
      {part.rest.rows === 0 ? null : (
        <p className="sheet-rest">
          and {part.rest.rows} more that this page has no room for: {listed(part.rest)}
        </p>
      )}
    </section>
  );
}

function Compartment({ compartment }: { readonly compartment: SheetCompartment }) {
  const { name, pieces, open } = compartment;
  return (
    <li>
      <span className="sheet-box" />
      <span className="sheet-name">{name}</span>
      <span className="sheet-where">
        {pieces} {pieces === 1 ? 'piece' : 'pieces'}
        {open === 0 ? ', answered' : ''}
      </span>
      <span className="sheet-box" />
      <span className="sheet-of">not opened</span>
    </li>
  );
}

function Head({ sheet, when }: { readonly sheet: WrapSheet; readonly when: string }) {
  const { outfitName, stopName, jobName, vehicleName, round, isOpened } = sheet;
  const about = [jobName, `back into ${vehicleName}`, round > 1 ? `round ${round}` : ''].filter(Boolean);
  return (
    <header className="sheet-head">
      <p className="sheet-title">
        <strong>{stopName}</strong>
        <span>{outfitName}</span>
      </p>
      <p className="sheet-about">
        <span>Wrap sheet · {about.join(' · ')}</span>
        <span>
          as known {when}
          {isOpened ? '' : ', before the count'}
        </span>
      </p>
      <p className="sheet-about">
        <span>Tick what is aboard again. Of counted gear, write how many.</span>
        <span className="sheet-blanks">
          Counted from <i /> to <i /> by <i className="sheet-long" />
        </span>
      </p>
    </header>
  );
}

function Compartments({ sheet }: { readonly sheet: WrapSheet }) {
  const { compartments, moreCompartments } = sheet;
  return (
    <section className="sheet-part">
      <h2>
        Compartments{' '}
        <span className="sheet-count">
          {compartments.length === 0 ? 'none' : compartments.length + moreCompartments.rows}
        </span>
      </h2>
      <ul className="sheet-rows">
        {compartments.map((compartment) => (
          <Compartment key={compartment.key} compartment={compartment} />
        ))}
      </ul>
      {moreCompartments.rows === 0 ? null : (
        <p className="sheet-rest">
          and {moreCompartments.rows} more with {moreCompartments.pieces} pieces
        </p>
      )}
    </section>
  );
}

/** One page. `when`: the time it was made, as its reader writes times. */
export function WrapSheetPage({ sheet, when }: { readonly sheet: WrapSheet; readonly when: string }) {
  return (
    <article className="wrap-sheet" aria-label="Wrap sheet">
      <Head sheet={sheet} when={when} />
      <Part title="Out now" empty="nothing is known to be out" part={sheet.out} />
      <Part
        title="Not to lose: rushes, other people’s things, what is often forgotten"
        empty="nothing is open"
        part={sheet.risky}
      />
      <Compartments sheet={sheet} />
      {sheet.lastLook.length === 0 ? null : (
        <section className="sheet-part">
          <h2>Last look</h2>
          <ul className="sheet-rows sheet-look">
            {sheet.lastLook.map((place) => (
              <li key={place}>
                <span className="sheet-box" />
                <span className="sheet-name">{place}</span>
              </li>
            ))}
          </ul>
        </section>
      )}
      <section className="sheet-part sheet-writing">
        <h2>What came back, what is left, with whom; the time beside it</h2>
        <div aria-hidden="true">
          {WRITING_LINES.map((line) => (
            <p key={line} />
          ))}
        </div>
      </section>
    </article>
  );
}
