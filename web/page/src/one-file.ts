// Makes the built page one file: script, style and core stand in it, and its
// content security policy lets nothing else run and no connection be made.

import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import type { Plugin } from "vite";

const hash = (text: string): string => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;

/** `core` is the file of the WebAssembly module. */
export function oneFile(core: string): Plugin {
  return {
    name: "one-file",
    enforce: "post",
    generateBundle(_options, bundle) {
      let script = "";
      let style = "";
      for (const [name, part] of Object.entries(bundle)) {
        if (part.type === "chunk") script += part.code;
        else if (name.endsWith(".css")) style += String(part.source);
        else continue;
        delete bundle[name];
      }
      const page = bundle["index.html"];
      if (page?.type !== "asset") throw new Error("the page itself was not built");
      // What ends a script's element must not stand inside one.
      script = `\n${script.replaceAll("</script", "<\\/script")}\n`;
      style = `\n${style}\n`;
      const policy = [
        "default-src 'none'",
        `script-src ${hash(script)} 'wasm-unsafe-eval'`,
        `style-src ${hash(style)}`,
        "img-src data:",
        "connect-src 'none'",
        "base-uri 'none'",
        "form-action 'none'",
      ].join("; ");
      const bytes = readFileSync(core).toString("base64");
      const html = String(page.source)
        .replace(/\s*<script type="module"[^>]*><\/script>/, "")
        .replace(/\s*<link rel="(stylesheet|modulepreload)"[^>]*>/g, "")
        .replace("<head>", `<head>\n    <meta http-equiv="Content-Security-Policy" content="${policy}" />`)
        // Functions, so that no text is taken for a pattern's dollar signs.
        .replace("</head>", () => `<style>${style}</style>\n  </head>`)
        .replace(
          "</body>",
          () =>
            `<script type="application/octet-stream" id="pinfold-core">${bytes}</script>\n` +
            `    <script type="module">${script}</script>\n  </body>`,
        );
      page.source = html;
    },
  };
}
