// A share with its spread, small enough to stand beside its words: a dot for the middle, a line for nine tenths, an upright at nothing.
// It is drawn beside the same figures in words, so it is hidden from who hears the page.
import type { Between } from "./decide_types";

const width = 160;
const edge = 6;

export function BetweenBar({ of, from, to }: { of: Between; from: number; to: number }) {
  const x = (value: number) => edge + ((Math.min(to, Math.max(from, value)) - from) / (to - from)) * (width - edge * 2);
  return (
    <svg class="between-bar" viewBox={`0 0 ${width} 18`} aria-hidden="true" focusable="false">
      <line class="between-axis" x1={x(from)} x2={x(to)} y1="9" y2="9" />
      <line class="between-zero" x1={x(0)} x2={x(0)} y1="2" y2="16" />
      <line class="between-whisker" x1={x(of.p05)} x2={x(of.p95)} y1="9" y2="9" />
      <circle class="between-middle" cx={x(of.mean)} cy="9" r="4" />
    </svg>
  );
}
