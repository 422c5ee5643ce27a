"use strict";
window.SwaggerUIBundle({
  url: "/openapi.json",
  dom_id: "#page",
  deepLinking: true,
  validatorUrl: null,
  docExpansion: "list",
  defaultModelsExpandDepth: 0,
  presets: [window.SwaggerUIBundle.presets.apis],
  layout: "BaseLayout",
});
