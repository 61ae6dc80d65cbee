// Runs one decision in one transaction: it is written whole, or refused and nothing of it stays.
import type postgres from 'postgres';

export type Tx = postgres.TransactionSql;

/** SQLSTATE class 40: the database undid the transaction so that another could go on; it may simply be run again. */
const RUN_AGAIN = new Set(['40001', '40P01']);
const RUNS_MAX = 5;

class Undo<R> extends Error {
  readonly refusal: R;
  constructor(refusal: R) {
    super('refused');
    this.refusal = refusal;
  }
}

function mayRunAgain(error: unknown): boolean {
  return error instanceof Error && 'code' in error && RUN_AGAIN.has(String(error.code));
}

/**
 * Runs `work` in one transaction. When it answers with a refusal, what it wrote is undone. A deadlock or a
 * serialisation error is the database's way to order two writers: it is tried again and never answered.
 */
export async function decide<T extends object, R>(
  sql: postgres.Sql,
  work: (tx: Tx) => Promise<T | { readonly refusal: R }>,
): Promise<T | { readonly refusal: R }> {
  for (let run = 1; ; run += 1) {
    try {
      return await runOnce(sql, work);
    } catch (error) {
      if (run >= RUNS_MAX || !mayRunAgain(error)) throw error;
    }
  }
}

async function runOnce<T extends object, R>(
  sql: postgres.Sql,
  work: (tx: Tx) => Promise<T | { readonly refusal: R }>,
): Promise<T | { readonly refusal: R }> {
  // The driver undoes a transaction when its function throws; a refusal leaves by that door and is a value again here.
  const undo: { made?: Undo<R> } = {};
  try {
    const answer = await sql.begin(async (tx) => {
      const decided = await work(tx);
      if (!('refusal' in decided)) return { decided };
      undo.made = new Undo(decided.refusal);
      throw undo.made;
    });
    return answer.decided;
  } catch (error) {
    if (undo.made !== undefined && error === undo.made) return { refusal: undo.made.refusal };
    throw error;
  }
}
