/**
 * For a desktop spreadsheet whose scripts are TypeScript with `ExcelScript`: takes off the rooms of
 * the sheet that is open, beside each row.
 *
 * Paste it as a new script, set SERVICE (such scripts ask only addresses that begin with https), run it.
 * The first row names the columns of /v1/rows/template.csv. The figures stand in columns behind the
 * last one that is used, and are written anew at each run.
 */
const SERVICE = "http://127.0.0.1:8080";
const KEY = "";
const FIRST_FIGURE = "status";

type Cell = string | number | boolean;

async function main(workbook: ExcelScript.Workbook): Promise<void> {
  const sheet = workbook.getActiveWorksheet();
  const [header, ...rows] = sheet.getUsedRange().getValues() as Cell[][];
  const known = (await asked("/v1/rows/template.csv")).split("\n")[0].trim().split(",");
  const names = header.map((name) => String(name).trim());
  const sent = rows.map((row) => {
    const room: Record<string, Cell> = {};
    names.forEach((name, k) => { if (known.includes(name)) room[name] = row[k]; });
    return room;
  });
  const told = JSON.parse(await asked("/v1/rows", { rows: sent })) as { rows: Record<string, Cell | null>[] };
  const all = Object.keys(told.rows[0]);
  const figures = all.slice(all.indexOf(FIRST_FIGURE));
  const at = names.includes(FIRST_FIGURE) ? names.indexOf(FIRST_FIGURE) : names.length;
  const table: Cell[][] = [figures, ...told.rows.map((row) => figures.map((name) => plain(row[name])))];
  sheet.getRangeByIndexes(0, at, table.length, figures.length).setValues(table);
}

/** The text of an answer; an error with the reasons where there is none. */
async function asked(path: string, body?: object): Promise<string> {
  const headers: Record<string, string> = { "Content-Type": "application/json" };
  if (KEY) headers.Authorization = `Bearer ${KEY}`;
  const answer = await fetch(SERVICE + path, body ? { method: "POST", headers, body: JSON.stringify(body) } : { headers });
  const text = await answer.text();
  if (answer.ok) return text;
  const problem = JSON.parse(text) as { title: string; detail: string; errors?: { detail: string }[] };
  const reasons = (problem.errors ?? []).map((one) => one.detail).join("; ");
  throw new Error(`${problem.title}: ${reasons || problem.detail}`);
}

/** A value that no spreadsheet runs: an apostrophe stands before what opens a formula. */
function plain(value: Cell | null): Cell {
  if (value === null) return "";
  return typeof value === "string" && /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
}
