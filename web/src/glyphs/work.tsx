// What people do: set out, pick, read a card before spraying, release.
import { Plate } from "./leaf";

export function Seedling() {
  return (
    <Plate>
      <path class="g-soil g-ink" d="M4 50c8-4 16-4 28-4s20 0 28 4v10H4z" />
      <path class="g-line" d="M32 47c0-9 0-15 0-22M16 54h.1M27 55h.1M39 53h.1M49 56h.1" />
      <path class="g-leaf g-ink" d="M32 28C22 30 12 25 9 12c13-2 22 4 23 16z" />
      <path class="g-green g-ink" d="M32 25C33 12 42 5 55 6c0 13-9 20-23 19z" />
      <path class="g-line" d="M32 28C26 22 19 17 12 14M32 25c5-7 12-12 19-16" />
    </Plate>
  );
}

export function Hand() {
  return (
    <Plate>
      <path class="g-leaf g-ink" d="M3 44C6 24 20 12 42 8c-2 16-10 26-22 32z" />
      <path class="g-line" d="M6 42C16 30 26 20 38 12" />
      <path class="g-pale g-ink" d="M60 58H42c-6-3-11-8-14-13-2-4 2-7 6-4l5 4V27c0-4 6-4 6 0v-4c0-4 6-4 6 1v2c0-4 5-3 5 1v3c1-3 4-2 4 1z" />
      <path class="g-line" d="M45 27v10M51 26v11M56 30v8" />
    </Plate>
  );
}

export function Basket() {
  return (
    <Plate>
      <path class="g-line" d="M14 33C16 6 48 6 50 33" />
      <path class="g-green g-ink" d="M13 33c-3-8 3-14 9-12 1-7 11-8 13-2 5-6 14-1 12 5 5 0 7 6 4 9z" />
      <path class="g-line" d="M22 21c1 4 2 8 2 12M35 19c-1 5-1 9-1 14M47 24c-3 3-4 6-5 9" />
      <path class="g-amber g-ink" d="M7 33h50l-6 25H13z" />
      <path class="g-line" d="M9 41h46M11 49h42M19 33l4 25M32 33v25M45 33l-4 25" />
    </Plate>
  );
}

export function LabelCard() {
  return (
    <Plate>
      <path class="g-pale g-ink" d="M12 6h32l10 10v42H12z" />
      <path class="g-white g-ink" d="M44 6v10h10z" />
      <path class="g-line" d="M19 24h28M19 31h28M19 38h18M19 52h10" />
      <path class="g-red g-ink" d="M42 40l10 5c0 7-4 11-10 14-6-3-10-7-10-14z" />
      <path class="g-line g-onred" d="M37.500 48.500l3.500 4 6-7" />
    </Plate>
  );
}

export function OpenLock() {
  return (
    <Plate>
      <path class="g-line" d="M17 29V18c0-7 5-12 11-12s11 5 11 12M21 29V18c0-4 3-8 7-8s7 4 7 8" />
      <path class="g-amber g-ink" d="M11 29h42v29H11z" />
      <circle class="g-dark" cx="32" cy="41" r="4" />
      <path class="g-dark" d="M30.500 42h3l1.500 9h-6z" />
    </Plate>
  );
}
