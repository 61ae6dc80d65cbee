// How each column of a list was understood, why, and what a person may change about it.
import { useEffect, useState } from 'react';
import { type ColumnChange, FIELDS, fieldSchema } from '#domain/csv/fields.ts';
import type { ListColumn, Understood } from '../data/lists.ts';
import { Tape } from '../look/tape.tsx';
import { WideTable } from './parts.tsx';
import { showNumber } from './words.ts';

const WORD_OF_DELIMITER = { ',': 'commas', ';': 'semicolons', '\t': 'tabs' } as const;
const WORD_OF_ENCODING: Readonly<Record<string, string>> = {
  'utf-8': 'UTF-8',
  'utf-8-bom': 'UTF-8',
  'utf-16le': 'UTF-16',
  'utf-16be': 'UTF-16',
  'windows-1252': 'Windows-1252',
};
const SAMPLES_SHOWN = 3;

function wordOfField(field: string): string {
  return field === 'nothing' ? 'not brought in' : field.replaceAll('-', ' ');
}

interface SenseProps<T extends string> {
  readonly label: string;
  readonly value: T | null;
  readonly options: readonly (readonly [T, string])[];
  readonly onChoose: (value: T) => void;
}

/** One way in which the cells of a column are to be read; nothing where the column has no such way. */
function Sense<T extends string>({ label, value, options, onChoose }: SenseProps<T>) {
  if (value === null) return null;
  return (
    <select
      aria-label={label}
      value={value}
      onChange={(event) => {
        const chosen = options.find(([key]) => key === event.target.value);
        if (chosen) onChoose(chosen[0]);
      }}
    >
      {options.map(([key, name]) => (
        <option key={key} value={key}>
          {name}
        </option>
      ))}
    </select>
  );
}

function CurrencySense({
  column,
  onChange,
}: {
  readonly column: ListColumn;
  readonly onChange: (change: ColumnChange) => void;
}) {
  const [typed, setTyped] = useState(column.currency ?? '');
  useEffect(() => setTyped(column.currency ?? ''), [column.currency]);
  if (column.currency === null) return null;
  return (
    <input
      className="currency"
      aria-label={`Currency of ${column.heading}`}
      maxLength={3}
      value={typed}
      onChange={(event) => {
        const currency = event.target.value.toUpperCase();
        setTyped(currency);
        if (/^[A-Z]{3}$/.test(currency)) onChange({ currency });
      }}
    />
  );
}

function Senses({
  column,
  onChange,
}: {
  readonly column: ListColumn;
  readonly onChange: (change: ColumnChange) => void;
}) {
  return (
    <div className="senses">
      <Sense
        label={`Decimals in ${column.heading}`}
        value={column.decimal}
        options={[
          ['.', '1,234.50'],
          [',', '1.234,50'],
        ]}
        onChoose={(decimal) => onChange({ decimal })}
      />
      <Sense
        label={`Dates in ${column.heading}`}
        value={column.dateOrder}
        options={[
          ['dmy', 'day / month'],
          ['mdy', 'month / day'],
        ]}
        onChoose={(dateOrder) => onChange({ dateOrder })}
      />
      <Sense
        label={`Weights in ${column.heading}`}
        value={column.weightUnit}
        options={[
          ['g', 'g'],
          ['kg', 'kg'],
          ['lb', 'lb'],
          ['oz', 'oz'],
        ]}
        onChoose={(weightUnit) => onChange({ weightUnit })}
      />
      <CurrencySense column={column} onChange={onChange} />
    </div>
  );
}

function ColumnRow({
  column,
  onChange,
}: {
  readonly column: ListColumn;
  readonly onChange: (change: ColumnChange) => void;
}) {
  return (
    <tr>
      <th scope="row">{column.heading}</th>
      <td className="samples">{column.samples.slice(0, SAMPLES_SHOWN).join(' · ')}</td>
      <td>
        <select
          aria-label={`What ${column.heading} holds`}
          value={column.field}
          onChange={(event) => onChange({ field: fieldSchema.parse(event.target.value) })}
        >
          {FIELDS.map((field) => (
            <option key={field} value={field}>
              {wordOfField(field)}
            </option>
          ))}
        </select>
      </td>
      <td>
        <Senses column={column} onChange={onChange} />
      </td>
      <td>
        {column.sure ? null : <strong className="tone-ask">Please look. </strong>}
        <span className="small">{column.why}</span>
      </td>
    </tr>
  );
}

export function ListColumns({
  understood,
  onChange,
}: {
  readonly understood: Understood;
  readonly onChange: (index: number, change: ColumnChange) => void;
}) {
  const { columns, lines, delimiter, headingRow, encoding } = understood;
  return (
    <section>
      <Tape level={2} figure={`${columns.length} columns, ${showNumber(lines)} lines`}>
        How it is understood
      </Tape>
      <p className="small">
        {WORD_OF_ENCODING[encoding] ?? encoding}, separated by {WORD_OF_DELIMITER[delimiter]},{' '}
        {headingRow < 0 ? 'no headings' : `headings in row ${headingRow + 1}`}.
      </p>
      <WideTable name="How it is understood">
        <table>
          <thead>
            <tr>
              <th scope="col">Column</th>
              <th scope="col">First cells</th>
              <th scope="col">Holds</th>
              <th scope="col">Read as</th>
              <th scope="col">Why</th>
            </tr>
          </thead>
          <tbody>
            {columns.map((column) => (
              <ColumnRow
                key={column.index}
                column={column}
                onChange={(change) => onChange(column.index, change)}
              />
            ))}
          </tbody>
        </table>
      </WideTable>
    </section>
  );
}
