import { dirname } from "node:path";
import { fileURLToPath } from "node:url";
import js from "@eslint/js";
import hooks from "eslint-plugin-react-hooks";
import typescript from "typescript-eslint";

const here = dirname(fileURLToPath(import.meta.url));

export default typescript.config(
  { ignores: ["**/dist/**", "**/node_modules/**", "**/generated/**", "**/*.d.ts", "**/results/**"] },
  js.configs.recommended,
  {
    files: ["**/*.{ts,tsx}"],
    extends: [typescript.configs.strictTypeChecked],
    languageOptions: { parserOptions: { project: "./tsconfig.json", tsconfigRootDir: here } },
    plugins: { "react-hooks": hooks },
    rules: {
      "react-hooks/rules-of-hooks": "error",
      "@typescript-eslint/restrict-template-expressions": ["error", { allowNumber: true }],
      "@typescript-eslint/no-confusing-void-expression": ["error", { ignoreArrowShorthand: true }],
      "max-lines": ["error", { max: 300 }],
      eqeqeq: "error",
      "no-console": "error",
    },
  },
  {
    // It runs as it stands in the browser's keeper of sites, with what there is.
    files: ["www/build/site/keep.js"],
    languageOptions: {
      globals: Object.fromEntries(
        ["self", "caches", "fetch", "Request", "URL"].map((name) => [name, "readonly"]),
      ),
    },
  },
  { files: ["www/part/**"], rules: { "max-lines": ["error", { max: 120 }] } },
);
