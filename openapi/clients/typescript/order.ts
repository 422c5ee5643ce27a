// Asks for the order of a small ceiling and prints it. The types come from the document: what is
// misspelt here does not compile.   node order.js http://127.0.0.1:8080
import createClient from "openapi-fetch";
import type { components, paths } from "./takeoff.js";

type Job = components["schemas"]["Job"];

const job: Job = {
  unit: "in",
  surfaces: [
    {
      id: "porch",
      rectangle: ["12 ft", "8 ft"],
      supports: { direction: 90, spacing: 16 },
      layers: [{ kind: "boarding", product: "pine", direction: 0 }],
    },
  ],
  products: [
    {
      id: "pine",
      form: "board",
      profile: "tongue_and_groove",
      ends: "square",
      coverage: "5 1/8 in",
      overall: "5 3/8 in",
      thickness: "3/4 in",
      stock: [{ length: "8 ft" }, { length: "12 ft" }],
    },
  ],
};

const client = createClient<paths>({ baseUrl: process.argv[2] ?? "http://127.0.0.1:8080" });
const { data, error } = await client.POST("/v1/takeoffs", { body: job });
if (error) {
  console.error(`${error.title}: ${error.detail}`);
  for (const fault of error.errors ?? []) console.error(`  ${fault.pointer}: ${fault.detail}`);
  process.exit(1);
}
for (const row of data.order) console.log(`${row.buy} ${row.item}`);
