/* The few names of Node that make-image.mjs uses; its own types are not among the project's packages. */

declare module "node:fs/promises" {
  export function readFile(path: string): Promise<Uint8Array<ArrayBuffer>>;
  export function readFile(path: string, encoding: "utf8"): Promise<string>;
  export function readdir(path: string, options?: { recursive: boolean }): Promise<string[]>;
  export function writeFile(path: string, content: Uint8Array): Promise<void>;
}
declare module "node:path" {
  export function dirname(path: string): string;
  export function join(...parts: string[]): string;
}
declare module "node:url" {
  export function pathToFileURL(path: string): URL;
}
declare const process: { argv: string[]; exitCode?: number };
