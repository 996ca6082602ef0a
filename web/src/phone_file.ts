// A device's entries as a file: one JSON value a line. First what it is, then each entry's bytes as a JSON string, then receipts. It is
// carried to another device's page, or to `leafturn phone-file`, when the garden's server can't be reached from this one.
import type { Draft, Kept, Receipt } from "./keep";

export const fileForm = 1;

export interface PhoneFile {
  entries: Draft[];
  receipts: Receipt[];
}

export function writePhoneFile(entries: Kept[], receipts: Receipt[], savedAt: string): string {
  const lines: unknown[] = [{ leafturn: "phone", form: fileForm, saved: savedAt }];
  for (const one of entries) lines.push({ event: one.bytes, told: one.told, state: one.state });
  for (const one of receipts) lines.push({ receipt: one });
  return lines.map((line) => JSON.stringify(line)).join("\n") + "\n";
}

export type Wrong = { line: number; newer: boolean };

function receiptFrom(value: unknown): Receipt | null {
  const one = value as Partial<Receipt> | null;
  if (typeof one?.id !== "string" || typeof one.seq !== "number" || typeof one.link !== "string") return null;
  return { id: one.id, seq: one.seq, link: one.link, told: one.told ?? "", at: one.at ?? "", outside: one.outside === true };
}

// All or nothing: a file that was cut or changed on the way is refused with its line.
export function readPhoneFile(text: string): PhoneFile | Wrong {
  const file: PhoneFile = { entries: [], receipts: [] };
  const lines = text.split("\n");
  for (let i = 0; i < lines.length; i++) {
    const line = lines[i]?.trim() ?? "";
    if (line === "" && i > 0) continue;
    let value: Record<string, unknown>;
    try {
      value = JSON.parse(line) as Record<string, unknown>;
    } catch {
      return { line: i + 1, newer: false };
    }
    if (i === 0) {
      if (value === null || value["leafturn"] !== "phone") return { line: 1, newer: false };
      if (value["form"] !== fileForm) return { line: 1, newer: typeof value["form"] === "number" && value["form"] > fileForm };
      continue;
    }
    if (typeof value["event"] === "string") {
      file.entries.push({ bytes: value["event"], told: typeof value["told"] === "string" ? value["told"] : "" });
      continue;
    }
    const receipt = receiptFrom(value["receipt"]);
    if (receipt === null) return { line: i + 1, newer: false };
    file.receipts.push(receipt);
  }
  return file;
}
