// A small caller in the generated types: it must compile under --strict, or the contract lies.
import type { components, paths } from "./out/api";

type Job = components["schemas"]["JobRequest"];
type Estimate =
  paths["/v1/estimates"]["post"]["responses"][200]["content"]["application/json"];
type Problem = components["schemas"]["Problem"];

const job: Job = {
  name: "Side entrance (invented)",
  ramp: {
    width: { value: 66, unit: "in" },
    path: [
      { kind: "landing" },
      { kind: "run", rise: "24 in", length: "26 ft 8 in", measured: "plan" },
      { kind: "landing", turn: "straight", door: { edge: "end", beyond_latch: "20 in" } },
    ],
  },
  insulation: "none",
};

export async function price(base: string): Promise<string> {
  const answer = await fetch(`${base}/v1/estimates`, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(job),
  });
  if (!answer.ok) {
    const problem = (await answer.json()) as Problem;
    throw new Error(`${problem.status} ${problem.title}: ${problem.detail}`);
  }
  const estimate = (await answer.json()) as Estimate;
  const order = estimate.headline.concrete_order.order;
  const total: string | null | undefined = estimate.price.total;
  return `${estimate.headline.verdict.verdict}: ${total ?? "incomplete"} ${estimate.price.currency}, ${order.value} ${order.unit}`;
}

/// Sends what the types forbid, as a caller without them would: where the fault is said to be.
export async function refusal(base: string): Promise<string> {
  const answer = await fetch(`${base}/v1/estimates`, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ ramp: { width: 66, path: job.ramp.path } }),
  });
  const problem = (await answer.json()) as Problem;
  const pointers = (problem.errors ?? []).map((fault) => fault.pointer);
  return `${answer.status} ${problem.type} ${pointers.join(" ")}`;
}
