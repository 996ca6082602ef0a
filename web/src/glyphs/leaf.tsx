// Leaves and feeding marks. All glyphs are drawn on a 64-unit square, in ink with one or two muted fills (classes of glyphs.css).
import type { ComponentChildren } from "preact";

interface Props {
  class?: string;
}

export function Plate({ children, class: name = "" }: { children: ComponentChildren; class?: string }) {
  return (
    <svg class={`glyph ${name}`} viewBox="0 0 64 64" aria-hidden="true" focusable="false">
      {children}
    </svg>
  );
}

// A cabbage leaf, its underside turned up at the tip: the thing to do.
export function Leaf(props: Props) {
  return (
    <Plate class={props.class ?? ""}>
      <path class="g-leaf g-ink" d="M10 55C5 38 10 20 27 12c9-4 18-5 27-5 1 11-1 24-8 33-8 11-21 15-36 15z" />
      <path class="g-line" d="M10 55C20 41 32 27 47 15M19 43c-2-7-2-13 1-19M28 33c-1-6 0-11 3-16M21 41c6 2 12 2 18-1M31 30c5 1 10 0 14-2" />
      <path class="g-line" d="M10 55l-4 5" />
    </Plate>
  );
}

export function TurnedLeaf(props: Props) {
  return (
    <Plate class={props.class ?? ""}>
      <path class="g-leaf g-ink" d="M9 56C4 40 9 23 24 14l30 26c-8 11-25 17-45 16z" />
      <path class="g-pale g-ink" d="M24 14c12-4 24 1 32 9 1 7 1 12-2 17-8-2-17-6-22-12-4-4-7-9-8-14z" />
      <path class="g-line" d="M9 56c9-9 18-17 27-24M18 47c-1-6 0-12 3-17M27 39c6 3 12 5 19 5M32 20c5 6 12 11 21 14" />
      <circle class="g-amber g-ink" cx="41" cy="23" r="1.600" />
      <circle class="g-amber g-ink" cx="45.500" cy="25.500" r="1.600" />
      <circle class="g-amber g-ink" cx="42" cy="27.800" r="1.600" />
    </Plate>
  );
}
