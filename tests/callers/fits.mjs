// Every request, answer and expanded job of a few ramps must fit the published schemas.
import Ajv from "ajv/dist/2020.js";
import { readFileSync } from "node:fs";

const base = process.argv[2];
const document = await (await fetch(`${base}/openapi.json`)).json();
const ajv = new Ajv({ strict: false, validateFormats: false, allErrors: true });
ajv.addSchema({ $id: "contract", ...document });
const part = (...names) => "contract#/" + names.map((name) => encodeURIComponent(name.replaceAll("~", "~0").replaceAll("/", "~1"))).join("/");
const schema = (path, status, media) =>
  ajv.getSchema(part("paths", path, "post", "responses", String(status), "content", media, "schema"));
const request = ajv.getSchema("contract#/components/schemas/JobRequest");

const run = { kind: "run", rise: "24 in", length: "26 ft" };
const landing = { kind: "landing" };
const jobs = ["straight", "l-shape", "switchback"].map((name) =>
  JSON.parse(readFileSync(`../../examples/${name}.json`, "utf8")),
);
jobs.push(
  { units: "metric", ramp: { width: "1500 mm", path: [landing, { kind: "run", rise: "600 mm", length: "8 m" }, landing] } },
  { scope: "prime", ramp: { path: [landing, run, { ...landing, door: { edge: "end" } }] } },
  { ramp: { curb: "none", handrails: "none", support: "solid", path: [landing, { ...run, measured: "surface" }, landing] } },
  { crew: { members: [{ class: "finisher", count: 2 }] }, insulation: "none", base: "none", reinforcement: "none", sealer: "none", ramp: { path: [landing, run, landing] } },
);

let fits = 0;
const insist = (validate, value, what) => {
  if (!validate(value)) {
    const first = validate.errors.slice(0, 3).map((error) => `${error.instancePath} ${error.message}`);
    throw new Error(`${what}: ${first.join("; ")}`);
  }
  fits += 1;
};
for (const job of jobs) {
  insist(request, job, "a job");
  for (const path of ["/v1/ramps/check", "/v1/takeoff", "/v1/crew-hours", "/v1/estimates"]) {
    const answer = await fetch(`${base}${path}?working=true&job=true`, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(job),
    });
    const body = await answer.json();
    insist(schema(path, answer.status, "application/json"), body, `${path} ${answer.status}`);
    insist(request, body.job, `the expanded job of ${path}`);
  }
}
console.log(`${fits} fit`);
