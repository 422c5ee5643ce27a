// Whether a query is well formed: node query.mjs FILE
import { readFileSync } from "node:fs";
import parser from "@microsoft/powerquery-parser";

const read = await parser.TaskUtils.tryLexParse(parser.DefaultSettings, readFileSync(process.argv[2], "utf8"));
console.log(JSON.stringify({ result: read.resultKind, why: read.error?.message ?? null }));
