// A stand-in for a spreadsheet that runs scripts: node sheet.mjs SCRIPT URL < cells.json
//
// The sheet that is open holds the cells; the script asks the live service; what it leaves in the
// sheet is printed. Only what the worked scripts use of such spreadsheets is here.
import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import vm from "node:vm";
import ts from "typescript";

const [script, url] = process.argv.slice(2);
const cells = JSON.parse(readFileSync(0, "utf8"));

function put(row, column, table) {
  table.forEach((values, y) => values.forEach((value, x) => {
    while (cells.length <= row + y) cells.push([]);
    cells[row + y][column + x] = value;
  }));
}

// Calls of a web spreadsheet wait for the answer.
function fetched(address, options) {
  const headers = { ...options.headers, ...(options.contentType && { "Content-Type": options.contentType }) };
  const given = Object.entries(headers).flatMap(([name, value]) => ["--header", `${name}: ${value}`]);
  const body = options.payload === undefined ? [] : ["--request", options.method.toUpperCase(), "--data-binary", "@-"];
  const done = spawnSync("curl", ["--silent", "--write-out", "\n%{http_code}", ...given, ...body, address], { input: options.payload });
  const [, text, code] = done.stdout.toString().match(/^([^]*)\n(\d+)$/);
  return { getContentText: () => text, getResponseCode: () => Number(code) };
}

const web = {
  SpreadsheetApp: {
    getActiveSheet: () => ({
      getDataRange: () => ({ getValues: () => cells }),
      getRange: (row, column) => ({ setValues: (table) => put(row - 1, column - 1, table) }),
    }),
  },
  UrlFetchApp: { fetch: fetched },
};

const desktop = {
  fetch,
  workbook: {
    getActiveWorksheet: () => ({
      getUsedRange: () => ({ getValues: () => cells }),
      getRangeByIndexes: (row, column) => ({ setValues: (table) => put(row, column, table) }),
    }),
  },
};

const source = readFileSync(script, "utf8").replace(/^(const SERVICE = ").*?"/m, `$1${url}"`);
const isTyped = script.endsWith(".ts");
const plain = isTyped ? ts.transpile(source, { target: ts.ScriptTarget.ES2022 }) : source;
const begun = isTyped ? "main(workbook)" : "takeOffRooms()";
await vm.runInNewContext(`${plain}\n${begun};`, isTyped ? desktop : web, { filename: script });
console.log(JSON.stringify(cells));
