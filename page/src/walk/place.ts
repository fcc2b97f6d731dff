// Where a note stands beside what it tells of: on the side with the most room, wholly on the screen.
export interface Box {
  readonly left: number
  readonly top: number
  readonly width: number
  readonly height: number
}

const GAP = 12

const within = (value: number, least: number, most: number): number => Math.max(least, Math.min(value, most))

export function besideOf(target: Box, note: { width: number; height: number }, screen: { width: number; height: number }): { left: number; top: number } {
  const right = target.left + target.width
  const bottom = target.top + target.height
  const room = { right: screen.width - right - note.width, left: target.left - note.width, below: screen.height - bottom - note.height, above: target.top - note.height }
  const side = (Object.keys(room) as (keyof typeof room)[]).reduce((best, one) => (room[one] > room[best] ? one : best))
  const middle = { left: target.left + (target.width - note.width) / 2, top: target.top + (target.height - note.height) / 2 }
  // Where no side has room the note lies over the target's middle, away from its edges.
  const at =
    room[side] < GAP
      ? middle
      : { right: { ...middle, left: right + GAP }, left: { ...middle, left: target.left - note.width - GAP }, below: { ...middle, top: bottom + GAP }, above: { ...middle, top: target.top - note.height - GAP } }[side]
  return { left: within(at.left, GAP, screen.width - note.width - GAP), top: within(at.top, GAP, screen.height - note.height - GAP) }
}
