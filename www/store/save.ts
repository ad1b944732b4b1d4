/** Files that the person takes away. */
import { asked, settings } from "./sort";

/** The kind of a spreadsheet file. */
export const XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";

/** Saves the list of one pen, or of all. */
export async function savePens(pen: string | null): Promise<void> {
  const list = await asked("", { ask: "list", pen });
  if (list) saveText(list, `pens${pen === null ? "" : `-${pen}`}`, "csv", "text/csv");
}

/** Saves the lists of all pens as one spreadsheet file. */
export async function saveWorkbook(): Promise<void> {
  const workbook = await asked("", { ask: "workbook" });
  if (workbook) saveFile(workbook, "pens", "xlsx", XLSX);
}

/** Saves the whole sort as the command line prints it. */
export async function saveDocument(): Promise<void> {
  const document = await asked("", { ask: "document" });
  if (document) saveText(document, "sort", "json", "application/json");
}

/** Hands a text to the person as a file. */
export function saveText(text: string, name: string, ending: string, type: string): void {
  saveFile(text, name, ending, `${type};charset=utf-8`);
}

/** Hands a file to the person. */
export function saveFile(content: BlobPart, name: string, ending: string, type: string): void {
  const plain = name.replace(/[^\p{L}\p{N}-]+/gu, "-");
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([content], { type }));
  link.download = `evenfold-${plain}-${settings.value?.on ?? ""}.${ending}`;
  link.click();
  // The download has to have begun before its address may go.
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
