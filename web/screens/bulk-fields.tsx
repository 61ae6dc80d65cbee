// The form of what to change on many things: chips say what, and each that is pressed shows its fields.

import { wantedCheckSchema } from '#domain/movement.ts';
import { WAYS, WHOSE } from '#domain/thing.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { BULK_FACTS, type BulkFact, type Draft, type Texts } from './bulk-draft.ts';
import { useOutfit } from './parts.tsx';
import { ClassSelect, PlaceSelect, Select } from './thing-inputs.tsx';
import { WORD_OF_CHECK, WORD_OF_WAY, WORD_OF_WHOSE } from './words.ts';

interface FieldsProps {
  readonly texts: Texts;
  readonly onText: (name: string, text: string) => void;
}

function ValueFields({ texts, onText }: FieldsProps) {
  const { currency } = useOutfit();
  const how = texts.how ?? 'percent';
  return (
    <>
      <Select label="Costs new" value={how} onValue={(text) => onText('how', text)}>
        <option value="percent">more or less by a share</option>
        <option value="amount">this amount</option>
        <option value="date">the same, looked up again</option>
      </Select>
      {how === 'percent' ? (
        <Field
          label="By how many percent"
          hint="Less with a minus, such as −5."
          type="number"
          step="0.1"
          min={-99.9}
          max={1000}
          value={texts.percent ?? ''}
          onChange={(event) => onText('percent', event.target.value)}
        />
      ) : null}
      {how === 'amount' ? (
        <Field
          label={`Amount in ${currency}`}
          type="number"
          step="0.01"
          min={0}
          value={texts.amount ?? ''}
          onChange={(event) => onText('amount', event.target.value)}
        />
      ) : null}
      <Field
        label="On the day"
        type="date"
        value={texts.onDate ?? ''}
        onChange={(event) => onText('onDate', event.target.value)}
      />
      <Field
        label="Where the price is from"
        maxLength={300}
        value={texts.source ?? ''}
        onChange={(event) => onText('source', event.target.value)}
      />
    </>
  );
}

function WhoseFields({ texts, onText }: FieldsProps) {
  const whose = texts.whose || 'ours';
  return (
    <>
      <Select label="Whose" value={whose} onValue={(text) => onText('whose', text)}>
        {WHOSE.map((key) => (
          <option key={key} value={key}>
            {WORD_OF_WHOSE[key]}
          </option>
        ))}
      </Select>
      {whose === 'ours' ? null : (
        <>
          <PlaceSelect
            label="From whom"
            parties
            none="not said"
            value={texts.owner ?? ''}
            onValue={(text) => onText('owner', text)}
          />
          <Field
            label="Since"
            type="date"
            value={texts.from ?? ''}
            onChange={(event) => onText('from', event.target.value)}
          />
          <Field
            label="Due back"
            type="date"
            value={texts.until ?? ''}
            onChange={(event) => onText('until', event.target.value)}
          />
        </>
      )}
    </>
  );
}

function HomeFields({ texts, onText }: FieldsProps) {
  return (
    <>
      <PlaceSelect
        label="Lives in"
        none="nowhere"
        value={texts.home ?? ''}
        onValue={(text) => onText('home', text)}
      />
      <Select label="When" value={texts.way ?? 'driving'} onValue={(text) => onText('way', text)}>
        {WAYS.map((way) => (
          <option key={way} value={way}>
            {WORD_OF_WAY[way]}
          </option>
        ))}
      </Select>
    </>
  );
}

const TEXT_FIELDS: Readonly<Partial<Record<BulkFact, { label: string; hint?: string; maxLength: number }>>> =
  {
    country: {
      label: 'Made in',
      hint: 'Two letters of ISO 3166, such as PT; empty: not known.',
      maxLength: 2,
    },
    maker: { label: 'Maker', hint: 'Empty: not known.', maxLength: 300 },
    purchasedFrom: { label: 'Bought from', hint: 'Empty: not known.', maxLength: 300 },
  };

function FactFields({ fact, texts, onText }: FieldsProps & { readonly fact: BulkFact }) {
  const text = TEXT_FIELDS[fact];
  if (text !== undefined)
    return (
      <Field {...text} value={texts[fact] ?? ''} onChange={(event) => onText(fact, event.target.value)} />
    );
  if (fact === 'class')
    return (
      <ClassSelect label="Class" value={texts.class ?? ''} onValue={(value) => onText('class', value)} />
    );
  if (fact === 'whose') return <WhoseFields texts={texts} onText={onText} />;
  if (fact === 'home') return <HomeFields texts={texts} onText={onText} />;
  if (fact === 'value') return <ValueFields texts={texts} onText={onText} />;
  if (fact === 'check')
    return (
      <Select label="Check at a wrap" value={texts.check ?? ''} onValue={(value) => onText('check', value)}>
        <option value="">as its class says</option>
        {wantedCheckSchema.options.map((check) => (
          <option key={check} value={check}>
            {WORD_OF_CHECK[check]}
          </option>
        ))}
      </Select>
    );
  return <p className="bulk-said">Those that are marked faulty are cleared.</p>;
}

export function BulkFields({
  draft,
  onDraft,
}: {
  readonly draft: Draft;
  readonly onDraft: (draft: Draft) => void;
}) {
  const { facts, texts } = draft;
  const press = (fact: BulkFact) => {
    const next = new Set(facts);
    if (!next.delete(fact)) next.add(fact);
    onDraft({ facts: next, texts });
  };
  const onText: FieldsProps['onText'] = (name, text) => onDraft({ facts, texts: { ...texts, [name]: text } });
  return (
    <>
      <fieldset className="filters">
        <legend className="bulk-legend">What to change on all of them</legend>
        {BULK_FACTS.map(([fact, words]) => (
          <Button key={fact} aria-pressed={facts.has(fact)} onClick={() => press(fact)}>
            {words}
          </Button>
        ))}
      </fieldset>
      {BULK_FACTS.filter(([fact]) => facts.has(fact)).map(([fact]) => (
        <div key={fact} className="row-form bulk-fields">
          <FactFields fact={fact} texts={texts} onText={onText} />
        </div>
      ))}
    </>
  );
}
