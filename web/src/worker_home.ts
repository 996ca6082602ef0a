// The service worker's home: where the browser allows one (https, or this very computer) the pages open without a signal, as they last were.
import { pagesVersion } from "./heard";

export function keepPagesOffline(): void {
  const workers = navigator.serviceWorker as ServiceWorkerContainer | undefined;
  if (workers === undefined) return;
  window.addEventListener("load", () => {
    workers.register("/worker.js", { updateViaCache: "none" }).catch((error: unknown) => console.info(`leafturn: no offline pages: ${String(error)}`));
  });
}

// Before the pages are loaded anew: a newer worker takes over first, so that it is the newer pages that come.
export async function inService(): Promise<void> {
  const workers = navigator.serviceWorker as ServiceWorkerContainer | undefined;
  const home = await workers?.getRegistration();
  await home?.update().catch(() => undefined);
}

export { pagesVersion };
