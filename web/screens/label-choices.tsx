// What the labels are printed on and what stands on them. Each choice is kept for the next time.
import { type ReactNode, useId } from 'react';
import { LABEL_FORMATS, type LabelFormat } from '#domain/label-format.ts';
import { type LabelChoices, labelChoicesSchema, labelContactSchema, planPrint } from '#domain/label-print.ts';
import { LABEL_SYMBOLS, PRINTER_DPI, readsAtArm } from '#domain/label-symbol.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { Notice } from '../look/notice.tsx';
import { showPlan, showTooFine, WORD_OF_SYMBOL } from './label-words.ts';

interface ChoicesProps {
  readonly choices: LabelChoices;
  readonly onChange: (change: Partial<LabelChoices>) => void;
}

const GROUPS: readonly (readonly [name: string, has: (format: LabelFormat) => boolean])[] = [
  ['Sheets, A4', (format) => format.kind === 'sheet' && format.paper === 'a4' && format.holeMm === null],
  [
    'Sheets, Letter',
    (format) => format.kind === 'sheet' && format.paper === 'letter' && format.holeMm === null,
  ],
  ['Rolls', (format) => format.kind === 'roll'],
  ['Hang tags', (format) => format.kind === 'sheet' && format.holeMm !== null],
];

interface SelectProps {
  readonly label: string;
  readonly value: string;
  readonly onValue: (value: string) => void;
  readonly children: ReactNode;
}

function Select({ label, value, onValue, children }: SelectProps) {
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <select id={id} value={value} onChange={(event) => onValue(event.target.value)}>
        {children}
      </select>
    </div>
  );
}

/** What the label will carry, or why that will not do and what will. */
export function LabelAdvice({ choices, onChange }: ChoicesProps) {
  const planned = planPrint({ ...choices, start: 1 });
  if ('refusal' in planned) {
    return (
      <Notice kind="caution" title="This symbol does not go on such a label">
        <p>There is no room for {choices.symbol === null ? 'any symbol' : WORD_OF_SYMBOL[choices.symbol]}.</p>
        <Button onClick={() => onChange({ symbol: null })}>Take what reads best</Button>
      </Notice>
    );
  }
  const { plan, better } = planned;
  if (readsAtArm(plan)) return <p className="small">{showPlan(plan)}</p>;
  return (
    <Notice kind="caution" title="Too fine to read">
      <p>{showTooFine(plan)}</p>
      {better === null ? (
        <p>Take a larger label.</p>
      ) : (
        <>
          <p>{showPlan(better)}</p>
          <Button onClick={() => onChange({ symbol: better.symbol })}>
            Take {WORD_OF_SYMBOL[better.symbol]}
          </Button>
        </>
      )}
    </Notice>
  );
}

function ContactField({ choices, onChange }: ChoicesProps) {
  const read = (text: string) => {
    if (text.trim() === '') return onChange({ contact: null });
    const contact = labelContactSchema.safeParse(text);
    if (contact.success) onChange({ contact: contact.data });
  };
  return (
    <Field
      label="Telephone number on it"
      name="contact"
      type="tel"
      autoComplete="tel"
      defaultValue={choices.contact ?? ''}
      pattern="[+\(]?\d[\d \(\)\/.\-]{3,24}"
      placeholder="+351 912 000 111"
      hint="For whoever finds it. No name: it would say what is in the case."
      onChange={(event) => read(event.target.value)}
    />
  );
}

function ShiftFields({ choices, onChange }: ChoicesProps) {
  const field = (name: 'shiftXMm' | 'shiftYMm', label: string) => (
    <Field
      label={label}
      type="number"
      min={-10}
      max={10}
      step={0.1}
      defaultValue={choices[name]}
      onChange={(event) => {
        const shift = labelChoicesSchema.shape[name].safeParse(event.target.valueAsNumber);
        if (shift.success) onChange({ [name]: shift.data });
      }}
    />
  );
  return (
    <div className="label-pair">
      {field('shiftXMm', 'Move to the right, mm')}
      {field('shiftYMm', 'Move down, mm')}
    </div>
  );
}

export function LabelChoicesForm({ choices, onChange }: ChoicesProps) {
  const { format, symbol, dpi } = labelChoicesSchema.shape;
  return (
    <div className="label-choices">
      <Select
        label="Printed on"
        value={choices.format}
        onValue={(value) => onChange({ format: format.parse(value), start: 1 })}
      >
        {GROUPS.map(([name, has]) => (
          <optgroup key={name} label={name}>
            {LABEL_FORMATS.filter(has).map((one) => (
              <option key={one.id} value={one.id}>
                {one.name}
              </option>
            ))}
          </optgroup>
        ))}
      </Select>
      <div className="label-pair">
        <Select
          label="Symbol"
          value={choices.symbol ?? ''}
          onValue={(value) => onChange({ symbol: symbol.parse(value === '' ? null : value) })}
        >
          <option value="">What reads best</option>
          {LABEL_SYMBOLS.map((one) => (
            <option key={one} value={one}>
              {WORD_OF_SYMBOL[one]}
              {one === 'code-128' ? ', for hand-held readers' : ''}
            </option>
          ))}
        </Select>
        <Select
          label="Printer"
          value={String(choices.dpi)}
          onValue={(value) => onChange({ dpi: dpi.parse(Number(value)) })}
        >
          {PRINTER_DPI.map((one) => (
            <option key={one} value={one}>
              {one} dots an inch
            </option>
          ))}
        </Select>
      </div>
      <LabelAdvice choices={choices} onChange={onChange} />
      <label className="label-tick">
        <input
          type="checkbox"
          checked={choices.names}
          onChange={(event) => onChange({ names: event.target.checked })}
        />{' '}
        The thing’s name on it
      </label>
      <ContactField choices={choices} onChange={onChange} />
      <details>
        <summary>The printer is a little off</summary>
        <ShiftFields choices={choices} onChange={onChange} />
      </details>
    </div>
  );
}
