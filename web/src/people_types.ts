// Answers about people, their devices and codes (docs/api.md).

export type Role = "lead" | "applicator" | "scout" | "picker" | "reader";
export const roles: Role[] = ["lead", "applicator", "scout", "picker", "reader"];

export interface Person {
  id: string;
  name: string;
  role: Role;
  added: string;
  erased: string | null;
}
export interface Session {
  id: string;
  person: string;
  device: string;
  since: string;
  seen: string;
  ends: string;
  live: boolean;
}
export interface OpenCode {
  code: string;
  person: Person;
  device: string;
  address: string;
  page: string;
  reachable: boolean;
  qr_svg: string;
  until: string;
}
