// Two people edited the same record: what it reads now beside what was just typed, and a choice between them.
import { Button } from '../look/button.tsx';
import { Notice } from '../look/notice.tsx';

export function EditedMeanwhile({
  now,
  onMine,
  onTheirs,
}: {
  /** What the record says now: the name of a field, and its words. */
  readonly now: readonly (readonly [string, string])[];
  readonly onMine: () => void;
  readonly onTheirs: () => void;
}) {
  return (
    <Notice kind="trouble" title="Somebody changed this while you were typing. It now reads:">
      <dl className="facts">
        {now.map(([name, words]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{words === '' ? '–' : words}</dd>
          </div>
        ))}
      </dl>
      <div className="form-ways">
        <Button onClick={onTheirs}>Keep theirs</Button>
        <Button onClick={onMine}>Write mine over it</Button>
      </div>
    </Notice>
  );
}
