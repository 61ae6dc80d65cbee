// The sums of a count, in pieces.
import type { ClosedSums } from '#domain/movement.ts';

export function SumsView({ sums }: { readonly sums: ClosedSums }) {
  const rest = sums.expected - sums.aboard - sums.notFound - sums.away;
  return (
    <dl className="sums">
      <div>
        <dt>Aboard</dt>
        <dd>
          {sums.aboard} of {sums.expected}
        </dd>
      </div>
      <div>
        <dt>Not found yet</dt>
        <dd>{sums.notFound}</dd>
      </div>
      <div>
        <dt>Elsewhere on purpose</dt>
        <dd>{sums.away}</dd>
      </div>
      {rest > 0 ? (
        <div>
          <dt>Did not come, not ours, or open</dt>
          <dd>{rest}</dd>
        </div>
      ) : null}
      <div>
        <dt>Compartments</dt>
        <dd>
          {sums.compartments}
          {sums.notOpened === 0 ? '' : `, ${sums.notOpened} not opened`}
        </dd>
      </div>
    </dl>
  );
}
