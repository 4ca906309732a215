/* The types of a service worker that ours uses: the library with all of them clashes with that of the page. */

export interface Extendable extends Event {
  waitUntil(work: Promise<unknown>): void;
}

export interface Fetched extends Extendable {
  readonly request: Request;
  readonly clientId: string;
  respondWith(answer: Promise<Response>): void;
}

export interface Told extends Extendable {
  readonly data: unknown;
}

export interface Client {
  readonly id: string;
  readonly url: string;
  postMessage(message: unknown): void;
}

export interface Worker {
  readonly registration: ServiceWorkerRegistration;
  readonly clients: {
    claim(): Promise<void>;
    matchAll(which: { includeUncontrolled: boolean; type: "all" | "window" }): Promise<Client[]>;
  };
  skipWaiting(): Promise<void>;
  addEventListener(name: "install" | "activate", listen: (event: Extendable) => void): void;
  addEventListener(name: "fetch", listen: (event: Fetched) => void): void;
  addEventListener(name: "message", listen: (event: Told) => void): void;
}

/** Written in front of the service worker by the build: everything that this edition holds. */
export interface Edition {
  readonly name: string;
  readonly bytes: number;
  /** By path from the root of the manual: the hash of what the file must hold, as `fetch` takes it. */
  readonly files: Readonly<Record<string, string>>;
}

declare global {
  var benchleafEdition: Edition;
}
