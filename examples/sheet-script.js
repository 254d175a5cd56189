// Prices a sheet of jobs from inside Google Sheets, whose cells ask from the vendor's machines and
// cannot send a table. The script asks from there too: the service needs an address that the
// internet reaches, by https, and therefore keys.
//
// How to put it in:
// 1. Row 1 of the sheet `jobs` holds headings of GET /v1/short-form (job, rise_in, length_ft, ...).
// 2. Extensions > Apps Script; paste all of this; save.
// 3. Project Settings > Script Properties: SERVICE_URL (https://...) and SERVICE_KEY, of role `estimate`.
// 4. Reload the sheet and choose Ramps > Price the jobs. The answer comes into the sheet `priced`.
//
// A row with a fault has the status `error`, and `note` says why. What could not be known is empty.

/** Adds the menu. */
function onOpen() {
  SpreadsheetApp.getUi().createMenu("Ramps").addItem("Price the jobs", "priceJobs").addToUi();
}

/** A cell as text: a dot before decimals, a day as 2027-04-05 on the sheet's own clock. */
function plain(cell, zone) {
  if (cell instanceof Date) return Utilities.formatDate(cell, zone, "yyyy-MM-dd");
  if (typeof cell === "boolean") return cell ? "yes" : "no";
  return String(cell);
}

/** A cell in quotes, so that it may hold commas, quotes and line breaks. */
function quoted(text) {
  return '"' + text.replace(/"/g, '""') + '"';
}

/** A cell of the answer: what is written as a number becomes one, but for what was sent as text. */
function read(text, column) {
  const texts = ["job", "status", "verdict", "first_violation", "top_unknown", "valid_until", "fingerprint", "note"];
  return !texts.includes(column) && /^-?[0-9]+(\.[0-9]+)?$/.test(text) ? Number(text) : text;
}

/** Sends the sheet `jobs` and fills the sheet `priced`. */
function priceJobs() {
  const file = SpreadsheetApp.getActiveSpreadsheet();
  const settings = PropertiesService.getScriptProperties();
  const rows = file.getSheetByName("jobs").getDataRange().getValues();
  const zone = file.getSpreadsheetTimeZone();
  const table = rows.map((row) => row.map((cell) => quoted(plain(cell, zone))).join(",")).join("\r\n");
  const answer = UrlFetchApp.fetch(settings.getProperty("SERVICE_URL") + "/v1/estimates/batch", {
    method: "post",
    contentType: "text/csv",
    headers: { Accept: "text/csv", "X-API-Key": settings.getProperty("SERVICE_KEY") },
    payload: table,
    // Refusals are read here, so that their reason is shown.
    muteHttpExceptions: true,
  });
  if (answer.getResponseCode() !== 200) throw new Error(answer.getContentText());
  const cells = Utilities.parseCsv(answer.getContentText());
  const filled = cells.map((row, place) => (place === 0 ? row : row.map((text, at) => read(text, cells[0][at]))));
  if (filled.some((row) => row[cells[0].indexOf("status")] === "aborted")) throw new Error("The answer breaks off: price again.");
  const sheet = file.getSheetByName("priced") || file.insertSheet("priced");
  sheet.clearContents();
  sheet.getRange(1, 1, filled.length, filled[0].length).setValues(filled);
}
