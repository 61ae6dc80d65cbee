// The load generator, a process of its own: so many kept-alive connections, each asking again when it is answered.
// Reads the bodies from standard input as JSON; prints { answered, seconds }.
import { Agent, request } from 'node:http';
import { z } from 'zod';

const orderSchema = z.strictObject({
  url: z.url(),
  connections: z.int().min(1),
  bodies: z.array(z.string()).min(1),
});

async function readOrder() {
  const chunks: Buffer[] = [];
  for await (const chunk of process.stdin) chunks.push(Buffer.from(chunk));
  return orderSchema.parse(JSON.parse(Buffer.concat(chunks).toString('utf8')));
}

function post(url: string, agent: Agent, body: string): Promise<void> {
  return new Promise((resolve, reject) => {
    const headers = { 'content-type': 'application/json', 'content-length': Buffer.byteLength(body) };
    const sent = request(url, { method: 'POST', agent, headers }, (answer) => {
      const parts: Buffer[] = [];
      answer.on('data', (part: Buffer) => parts.push(part));
      answer.on('end', () => {
        const text = Buffer.concat(parts).toString('utf8');
        if (answer.statusCode === 200 && !text.includes('"refused"') && !text.includes('"waiting"'))
          resolve();
        else reject(new Error(`${url} answered ${answer.statusCode}: ${text.slice(0, 300)}`));
      });
    });
    sent.on('error', reject);
    sent.end(body);
  });
}

const order = await readOrder();
const agent = new Agent({ keepAlive: true, maxSockets: order.connections });
let next = 0;
const startedAt = performance.now();
await Promise.all(
  Array.from({ length: order.connections }, async () => {
    for (let body = order.bodies[next++]; body !== undefined; body = order.bodies[next++])
      await post(order.url, agent, body);
  }),
);
const seconds = (performance.now() - startedAt) / 1_000;
agent.destroy();
console.log(JSON.stringify({ answered: order.bodies.length, seconds }));
