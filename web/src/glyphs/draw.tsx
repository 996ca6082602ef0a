// What several drawings share: a half and its mirror image, the leaf and the soil things lie on.
import type { ComponentChildren, VNode } from "preact";
import { Plate } from "./leaf";

// Insects are alike left and right: one half is drawn, and again mirrored about x = 32.
export function Both({ half }: { half: () => VNode }) {
  return <>{half()}<g transform="matrix(-1 0 0 1 64 0)">{half()}</g></>;
}

export function OnLeaf({ children }: { children: ComponentChildren }) {
  return (
    <Plate>
      <path class="g-leaf g-ink" d="M3 60C3 26 28 8 61 5c1 32-18 56-58 55z" />
      <path class="g-line" d="M3 60C16 42 34 24 61 5" />
      {children}
    </Plate>
  );
}

export function UnderLeaf({ children }: { children: ComponentChildren }) {
  return (
    <Plate>
      <path class="g-leaf" d="M2 50C16 38 42 36 62 42c-10 16-44 20-60 8z" />
      {children}
    </Plate>
  );
}

export function InSoil({ children }: { children: ComponentChildren }) {
  return (
    <Plate>
      <path class="g-soil" d="M2 20c10-3 14 2 22 0s14-3 20 0 10 2 18-1v43H2z" />
      <path class="g-line" d="M2 18c10-3 14 2 22 0s14-3 20 0 10 2 18-1" />
      {children}
    </Plate>
  );
}

export function InStem({ children }: { children: ComponentChildren }) {
  return (
    <Plate>
      <path class="g-green g-ink" d="M2 14c20-4 40-4 60 0v36c-20 4-40 4-60 0z" />
      <path class="g-pale g-ink" d="M5 23c18-3 36-3 54 0v18c-18 3-36 3-54 0z" />
      {children}
    </Plate>
  );
}
