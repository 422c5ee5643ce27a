// What the worked script uses of such a spreadsheet.
declare namespace ExcelScript {
  interface Workbook { getActiveWorksheet(): Worksheet; }
  interface Worksheet {
    getUsedRange(): Range;
    getRangeByIndexes(row: number, column: number, rows: number, columns: number): Range;
  }
  interface Range {
    getValues(): (string | number | boolean)[][];
    setValues(values: (string | number | boolean)[][]): void;
  }
}
