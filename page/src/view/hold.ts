// How a panel is held, as lines: where it is held, its angle from what it is counted from, the finger line, the guide's.
import type { Cut, Panel, Vec3 } from '../core/messages'
import type { Plan } from '../state/plan'
import type { Text } from '../text/en'
import { arc, spoke } from './drags'
import { ARC, fingerLine, guideHair, holdOf, measuredPanel } from './handles'
import type { Curve, Written } from './marks'
import { NODES } from './shapes'
import { add, dot, sub, times } from './vec'

// Where the scissors met the hair of a panel that follows the head, in order along its parting.
function cutEnds(cut: Cut, panel: Panel, index: number, held: Float32Array): Vec3[] {
  const ends: { s: number; at: Vec3 }[] = []
  for (let i = 0; i < cut.hairs; i++) {
    const p = 3 * (NODES * i + NODES - 1)
    if (cut.setBy[i] !== index || Number.isNaN(held[p] ?? NaN)) continue
    const root: Vec3 = [cut.roots[3 * i] ?? 0, cut.roots[3 * i + 1] ?? 0, cut.roots[3 * i + 2] ?? 0]
    ends.push({ s: dot(sub(root, panel.anchor), panel.parting), at: [held[p] ?? 0, held[p + 1] ?? 0, held[p + 2] ?? 0] })
  }
  ends.sort((a, b) => a.s - b.s)
  const each = Math.max(1, Math.floor(ends.length / 14))
  const out: Vec3[] = []
  for (let i = 0; i < ends.length; i += each) {
    const some = ends.slice(i, i + each)
    out.push(times(some.reduce<Vec3>((sum, e) => add(sum, e.at), [0, 0, 0]), 1 / some.length))
  }
  return out
}

export function holdCurves(plan: Plan, cut: Cut, panel: Panel, held: Float32Array | null, text: Text): { curves: Curve[]; words: Written[] } {
  const index = cut.panels.indexOf(panel)
  const curves: Curve[] = []
  const words: Written[] = []
  const { zero, out, angle } = holdOf(plan, panel)
  const reach = ARC * 1.35
  curves.push({ role: 'spoke', points: [panel.place, add(panel.place, times(zero, reach))] })
  curves.push({ role: 'spoke', points: [panel.place, add(panel.place, times(spoke(zero, out, angle), reach))] })
  curves.push({ role: 'arc', points: arc(panel.place, zero, out, 0, angle, ARC) })
  const fingers = fingerLine(panel) ?? (held ? cutEnds(cut, panel, index, held) : [])
  const measured = measuredPanel(plan, cut, panel)
  if (measured) curves.push({ role: 'guide', points: guideHair(measured) })
  const guide = panel.guide >= 0 ? cut.panels[panel.guide] : undefined
  const guideLine = guide ? fingerLine(guide) : null
  if (guideLine) {
    curves.push({ role: 'guide', points: guideLine })
    words.push({ at: guideLine[0], text: text.view.guide })
  }
  if (fingers.length > 1) curves.push({ role: 'finger', points: fingers })
  return { curves, words }
}
