// Runs the sheet's script against the service: what its host would give it is made here, of the
// same shape. The jobs are the rows of a CSV, with numbers and one date as a sheet holds them.
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import vm from "node:vm";

const [, , base, script, key] = process.argv;

/** Reads a CSV as the host does: quotes, line breaks in them. */
const parseCsv = (text) => {
  const rows = [[""]];
  let open = false;
  for (let at = 0; at < text.length; at += 1) {
    const mark = text[at];
    const row = rows[rows.length - 1];
    if (mark === '"' && open && text[at + 1] === '"') row[row.length - 1] += text[(at += 1)];
    else if (mark === '"') open = !open;
    else if (mark === "," && !open) row.push("");
    else if (mark === "\n" && !open) rows.push([""]);
    else if (mark !== "\r" || open) row[row.length - 1] += mark;
  }
  return rows.filter((row) => row.length > 1);
};

/** The host's fetch waits; another program waits here in its place. */
const fetch = (url, { method, contentType, headers, payload }) => {
  const words = ["--silent", "--request", method.toUpperCase(), "--header", `Content-Type: ${contentType}`];
  for (const [name, value] of Object.entries(headers)) words.push("--header", `${name}: ${value}`);
  words.push("--data-binary", "@-", "--write-out", "\n%{http_code}", url);
  const said = execFileSync("curl", words, { input: payload, encoding: "utf8", maxBuffer: 1 << 26 });
  const end = said.lastIndexOf("\n");
  return { getResponseCode: () => Number(said.slice(end + 1)), getContentText: () => said.slice(0, end) };
};

const jobs = [
  ["job", "rise_in", "length_ft", "start", "contact room"],
  ['Tansy Fold library, "side" door\nsecond bell (invented)', 24, 26.5, new vm.Script("new Date(2027, 3, 5)"), "B07"],
  ["Quillwater clinic, not yet taped (invented)", "about 30", "", "", ""],
];
const sheets = { jobs, priced: undefined };
const sheet = (name) => ({
  getDataRange: () => ({ getValues: () => sheets[name] }),
  clearContents: () => (sheets[name] = undefined),
  getRange: () => ({ setValues: (values) => (sheets[name] = values) }),
});
const file = {
  getSheetByName: (name) => (sheets[name] ? sheet(name) : null),
  insertSheet: sheet,
  getSpreadsheetTimeZone: () => "UTC",
};
const host = vm.createContext({
  SpreadsheetApp: { getActiveSpreadsheet: () => file },
  PropertiesService: { getScriptProperties: () => ({ getProperty: (name) => ({ SERVICE_URL: base, SERVICE_KEY: key })[name] }) },
  Utilities: {
    parseCsv,
    formatDate: (day) => `${day.getFullYear()}-${String(day.getMonth() + 1).padStart(2, "0")}-${String(day.getDate()).padStart(2, "0")}`,
  },
  UrlFetchApp: { fetch },
});
jobs[1][3] = jobs[1][3].runInContext(host);
vm.runInContext(readFileSync(script, "utf8"), host);
try {
  vm.runInContext("priceJobs()", host);
} catch (refusal) {
  console.log(`refused: ${refusal.message}`);
  process.exit(0);
}
const [head, good, bad] = sheets.priced;
const of = (row, name) => row[head.indexOf(name)];
console.log(JSON.stringify({
  job: of(good, "job") === jobs[1][0],
  status: of(good, "status"),
  length: of(good, "length_ft"),
  start: of(good, "start"),
  room: of(good, "contact room"),
  total: typeof of(good, "total"),
  bad: of(bad, "status"),
  reason: of(bad, "note"),
  nothing: of(bad, "total"),
}));
