/**
 * For a web spreadsheet whose scripts are JavaScript with `SpreadsheetApp` and `UrlFetchApp`:
 * takes off the rooms of the sheet that is open, beside each row.
 *
 * Paste it into the script editor, set SERVICE, and run `takeOffRooms` from there or from a button. The
 * first row names the columns of /v1/rows/template.csv. The figures stand in columns behind the last
 * one that is used, and are written anew at each run.
 */
const SERVICE = "http://127.0.0.1:8080"; // where the service listens, as the web can reach it
const KEY = ""; // where the operator asks for one
const FIRST_FIGURE = "status";

function takeOffRooms() {
  const sheet = SpreadsheetApp.getActiveSheet();
  const [header, ...rows] = sheet.getDataRange().getValues();
  const known = asked("/v1/rows/template.csv").split("\n")[0].trim().split(",");
  const names = header.map((name) => String(name).trim());
  const sent = rows.map((row) => Object.fromEntries(
    names.map((name, k) => [name, row[k]]).filter(([name]) => known.includes(name))));
  const found = JSON.parse(asked("/v1/rows", { rows: sent })).rows;
  const figures = Object.keys(found[0]).slice(Object.keys(found[0]).indexOf(FIRST_FIGURE));
  const at = names.includes(FIRST_FIGURE) ? names.indexOf(FIRST_FIGURE) : names.length;
  const table = [figures, ...found.map((row) => figures.map((name) => plain(row[name])))];
  sheet.getRange(1, at + 1, table.length, figures.length).setValues(table);
}

/** The text of an answer; an error with the reasons where there is none. */
function asked(path, body) {
  const options = { muteHttpExceptions: true, headers: KEY ? { Authorization: "Bearer " + KEY } : {} };
  if (body) Object.assign(options, { method: "post", contentType: "application/json", payload: JSON.stringify(body) });
  const answer = UrlFetchApp.fetch(SERVICE + path, options);
  const text = answer.getContentText();
  if (answer.getResponseCode() === 200) return text;
  const problem = JSON.parse(text);
  const reasons = (problem.errors || []).map((one) => one.detail).join("; ");
  throw new Error(`${problem.title}: ${reasons || problem.detail}`);
}

/** A value that no spreadsheet runs: an apostrophe stands before what opens a formula. */
function plain(value) {
  if (value === null) return "";
  return typeof value === "string" && /^[=+\-@\t\r]/.test(value) ? "'" + value : value;
}
