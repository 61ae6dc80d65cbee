// Runs the load generator in a process of its own and gives the rate it reached.
import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { z } from 'zod';

const resultSchema = z.strictObject({ answered: z.int(), seconds: z.number().positive() });

/** Posts every body once over that many connections; answers per second. Throws when one was not taken. */
export async function postAll(url: string, connections: number, bodies: readonly string[]): Promise<number> {
  const program = fileURLToPath(new URL('generator.ts', import.meta.url));
  const child = spawn(process.execPath, ['--import', 'tsx', program], { stdio: ['pipe', 'pipe', 'inherit'] });
  child.stdin.end(JSON.stringify({ url, connections, bodies }));
  const parts: Buffer[] = [];
  for await (const part of child.stdout) parts.push(Buffer.from(part));
  const code = await new Promise<number | null>((resolve) =>
    child.exitCode === null ? child.once('close', resolve) : resolve(child.exitCode),
  );
  if (code !== 0) throw new Error(`the load generator ended with ${code}`);
  const { answered, seconds } = resultSchema.parse(JSON.parse(Buffer.concat(parts).toString('utf8')));
  return answered / seconds;
}
