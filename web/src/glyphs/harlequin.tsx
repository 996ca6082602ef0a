// Harlequin bug: a shield-shaped adult in black with orange-red marks, and barrel-shaped eggs with two dark rings in a double row of six.
import { Plate } from "./leaf";

export function HarlequinAdult() {
  return (
    <Plate>
      <path class="g-line" d="M22 22L11 15M42 22l11-7M18 34L7 33M46 34l11-1M20 45L10 54M44 45l10 9M28 9L23 2M36 9l5-7" />
      <path class="g-dark g-ink" d="M25 13c1-5 4-7 7-7s6 2 7 7z" />
      <path class="g-dark g-ink" d="M25 13h14l9 9c2 3 2 7 1 11-2 12-9 22-17 26-8-4-15-14-17-26-1-4-1-8 1-11z" />
      <path class="g-red" d="M25.500 15.500l-6 7c3 1 7 1 11 0zM38.500 15.500l6 7c-3 1-7 1-11 0z" />
      <path class="g-red" d="M29 26h6l-1.500 12c-.6 2-2.400 2-3 0z" />
      <path class="g-red" d="M17.500 27c3 0 6 1 8 3l-3 7c-3-2-5-6-5-10zM46.500 27c-3 0-6 1-8 3l3 7c3-2 5-6 5-10z" />
      <path class="g-red" d="M21 41c2 0 5 1 7 3l-1 6c-3-2-5-5-6-9zM43 41c-2 0-5 1-7 3l1 6c3-2 5-5 6-9z" />
      <path class="g-line g-onred" d="M32 22v34" />
    </Plate>
  );
}

export function HarlequinNymph() {
  return (
    <Plate>
      <path class="g-line" d="M21 27l-9-6M43 27l9-6M18 37H8M46 37h10M21 46l-8 8M43 46l8 8M29 15l-4-7M35 15l4-7" />
      <path class="g-dark g-ink" d="M26 19c0-4 3-6 6-6s6 2 6 6z" />
      <path class="g-dark g-ink" d="M24 19h16c5 3 8 10 8 17 0 10-7 18-16 18s-16-8-16-18c0-7 3-14 8-17z" />
      <path class="g-red" d="M26 22h5v7h-8zM38 22h-5v7h8z" />
      <path class="g-pale" d="M20 34c4 1 8 1 11 1v3c-4 0-8 0-11-1zM44 34c-4 1-8 1-11 1v3c4 0 8 0 11-1z" />
      <path class="g-red" d="M22 42c3 1 6 1 9 1v6c-4-1-7-3-9-7zM42 42c-3 1-6 1-9 1v6c4-1 7-3 9-7z" />
    </Plate>
  );
}

// One barrel, seen a little from above.
function Barrel({ x, y }: { x: number; y: number }) {
  return (
    <g transform={`translate(${x} ${y})`}>
      <path class="g-pale g-ink" d="M0 3c0-3 8-3 8 0v12c0 3-8 3-8 0z" />
      <path class="g-band" d="M0 6.200c2 1.500 6 1.500 8 0v2.400c-2 1.500-6 1.500-8 0zM0 11.600c2 1.500 6 1.500 8 0V14c-2 1.500-6 1.500-8 0z" />
      <ellipse class="g-white g-ink" cx="4" cy="3" rx="4" ry="2.200" />
      <circle class="g-dot" cx="4" cy="3" r=".9" />
    </g>
  );
}

export function BarrelEggs() {
  const six = [0, 1, 2, 3, 4, 5];
  return (
    <Plate>
      <path class="g-leaf" d="M2 58C6 20 30 6 62 6c0 28-16 50-60 52z" />
      <g>
        {six.map((i) => <Barrel x={5 + i * 9} y={17 + (i % 2)} />)}
        {six.map((i) => <Barrel x={5 + i * 9} y={34 + (i % 2)} />)}
      </g>
    </Plate>
  );
}
