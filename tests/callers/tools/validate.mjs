// Holds values against schemas of an OpenAPI document: validate.mjs <openapi.json> < cases.json
// A case is {name, schema, value}; schema names one of components/schemas. Prints what does not fit.
import { readFileSync } from "node:fs";
import Ajv2020 from "ajv/dist/2020.js";
import addFormats from "ajv-formats";

const text = readFileSync(process.argv[2], "utf8").replaceAll("#/components/schemas/", "#/$defs/");
const $defs = JSON.parse(text).components.schemas;
const cases = JSON.parse(readFileSync(0));
const ajv = new Ajv2020.default();
addFormats.default(ajv);
// What OpenAPI and this document say beside JSON Schema; all else that is unknown throws.
ajv.addVocabulary(["x-unit", "discriminator"]);
ajv.addSchema({ $id: "document", $defs });
const faults = [];
for (const { name, schema, value } of cases) {
  const check = ajv.getSchema(`document#/$defs/${schema}`);
  if (!check(value)) faults.push(`${name}: ${ajv.errorsText(check.errors)}`);
}
console.log(JSON.stringify({ tried: cases.length, faults }));
