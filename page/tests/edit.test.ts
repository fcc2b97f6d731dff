import { describe, expect, it } from 'vitest'
import bob from '../../examples/graduated-bob.json'
import fade from '../../examples/clipper-fade.json'
import mixed from '../../examples/short-mixed-shapes.json'
import { addParting, addStep, duplicateStep, leafNames, mirrorStep, moveStep, otherSide, partNames, put, removeStep, renamePart, renameStep, stepNames, switchStep, usesOfParting } from '../src/plan/edit'
import { labelOf } from '../src/plan/label'
import { allowed, fieldAt, pathOf, type Table } from '../src/plan/table'
import { valueAt, type Path, type Plan, type Value } from '../src/state/plan'
import { en } from '../src/text/en'
import written from './table.json'

const table = written as unknown as Table
const plan = bob as unknown as Plan
const inches = fade as unknown as Plan
const many = mixed as unknown as Plan
const at = (where: string): Path => pathOf(where, 0)

describe('a value that is set', () => {
  it('takes out what it makes needless', () => {
    const level = put(table, plan, at('steps[].panels.run'), 'level')
    expect(valueAt(level, at('steps[].panels'))).toEqual({ run: 'level', thickness: 1.5, start: 'bottom' })
    expect(valueAt(plan, at('steps[].panels.angle'))).toBe(25)
  })
  it('brings in what it needs', () => {
    expect(valueAt(put(table, plan, at('steps[].panels.run'), 'radial'), at('steps[].panels.pivot'))).toBe('crown')
    const under = put(table, plan, ['worn', 'blow_dry', 'shape'], 'under')
    expect(valueAt(under, ['worn', 'blow_dry'])).toEqual({ shape: 'under', brush: 6 })
    expect(valueAt(put(table, under, ['worn', 'blow_dry', 'shape'], 'straight'), ['worn', 'blow_dry'])).toEqual({ shape: 'straight' })
    expect(valueAt(put(table, inches, ['worn', 'blow_dry', 'shape'], 'under'), ['worn', 'blow_dry', 'brush'])).toBe('2 3/8')
  })
  it('takes the place of what may not stand beside it', () => {
    const step = put(table, plan, at('steps[].guide.step'), 'back')
    expect(valueAt(step, at('steps[].guide'))).toEqual({ kind: 'travelling', step: 'back' })
    const back = put(table, plan, at('steps[].hold.direction'), 'back')
    expect(valueAt(back, at('steps[].hold'))).toEqual({ carry: 'own', direction: 'back' })
    const brushed = put(table, plan, ['worn', 'brushed'], 'back')
    expect(valueAt(brushed, ['worn'])).toEqual({ brushed: 'back' })
  })
  it('counts a default as said', () => {
    const owner = fieldAt(table, at('steps[].panels.angle'))
    expect(owner && allowed(owner.field, {}, owner.owner)).toBe(false)
    expect(owner && allowed(owner.field, { run: 'diagonal back' }, owner.owner)).toBe(true)
  })
})

describe('steps', () => {
  it('move, and their guides follow their names', () => {
    const unnamed = { ...plan, steps: (plan.steps ?? []).map(({ name: _, ...step }) => (step['section'] === 'left side' ? { ...step, guide: { kind: 'travelling', step: 'step 1' } } : step)) } as Plan
    const moved = moveStep(unnamed, 0, 1)
    expect(stepNames(moved)).toEqual(['step 1', 'step 1'])
    expect(moved.steps?.map((step) => step['section'])).toEqual(['left side', 'left back'])
    expect(valueAt(moved, ['steps', 1, 'name'])).toBe('step 1')
    expect(moveStep(plan, 0, 0)).toBe(plan)
    expect(moveStep(many, 4, 0).steps?.map((step) => step['name'])).toEqual(['lighten the crown', 'nape', 'back', 'sides', 'top'])
    expect(moveStep(many, 0, 99).steps?.at(-1)?.['name']).toBe('nape')
  })
  it('are renamed together with the guides that name them', () => {
    const renamed = renameStep(plan, 0, 'nape up')
    expect(valueAt(renamed, ['steps', 1, 'guide', 'step'])).toBe('nape up')
    expect(renamed.steps?.[0]).toMatchObject({ name: 'nape up' })
    expect(valueAt(renameStep(plan, 0, ''), ['steps', 1, 'guide', 'step'])).toBe('step 1')
  })
  it('are duplicated under a free name', () => {
    expect(stepNames(duplicateStep(duplicateStep(plan, 0), 0))).toEqual(['back', 'back 3', 'back 2', 'sides'])
    expect(duplicateStep(plan, 9)).toBe(plan)
  })
  it('work on both sides, on one, or on each by a step of its own', () => {
    const one = mirrorStep(plan, 0) as Plan
    expect(one.steps?.[0]).not.toHaveProperty('mirror')
    expect(mirrorStep(one, 0)).toEqual(plan)
    expect(mirrorStep(many, 0)).toBeNull()
    const turned = put(table, one, at('steps[].line'), { tilt: 20, longer: 'left' })
    const apart = otherSide(put(table, turned, at('steps[].hold.turn'), 15), 0) as Plan
    expect(apart.steps).toHaveLength(3)
    expect(apart.steps?.[1]).toMatchObject({ section: 'right back', line: { tilt: 20, longer: 'right' }, hold: { turn: -15 }, guide: { at: 'nape centre' } })
    expect(valueAt(otherSide(plan, 1) as Plan, ['steps', 2, 'guide', 'step'])).toBe('back')
  })
  it('are added where something is left to do', () => {
    const without = removeStep(plan, 1)
    const added = addStep(without)
    expect(added.steps?.[1]).toMatchObject({ section: 'left side', mirror: 'right side', name: 'left side' })
    expect(addStep({ format: 'lengthwise plan', version: 1, units: 'in' }).steps?.[0]).toMatchObject({ section: 'all', guide: { length: 4 } })
    expect(addStep(inches, 0).steps?.[0]).toMatchObject({ guide: { length: 4 }, panels: { thickness: '3/4' } })
  })
  it('are switched off and on again', () => {
    const off = switchStep(plan, 1)
    expect(off.steps?.[1]?.['off']).toBe(true)
    expect(switchStep(off, 1)).toEqual(plan)
  })
})

describe('sections', () => {
  it('are known by name, twins of mirrored partings too', () => {
    const mirrored: Plan = { ...plan, sections: [...(plan.sections ?? []), { split: 'left back', parting: { level: 'occipital bone' }, into: ['left crown', 'left nape'], mirror: true }] }
    expect(partNames(mirrored).slice(-4)).toEqual(['left crown', 'left nape', 'right crown', 'right nape'])
    expect(leafNames(mirrored)).toEqual(['left side', 'right side', 'left crown', 'left nape', 'right crown', 'right nape'])
    expect(leafNames(plan, 1)).toEqual(['front', 'back'])
  })
  it('take their new name along', () => {
    const renamed = renamePart(plan, 2, 0, 'left nape')
    expect(valueAt(renamed, ['sections', 2, 'into'])).toEqual(['left nape', 'right back'])
    expect(valueAt(renamed, ['steps', 0, 'section'])).toBe('left nape')
    expect(valueAt(renamePart(plan, 0, 1, 'behind'), ['sections', 2, 'split'])).toBe('behind')
    const twins: Plan = { ...plan, sections: [...(plan.sections ?? []), { split: 'left back', parting: { level: 'crown' }, into: ['left a', 'left b'], mirror: true }], steps: [{ section: 'left a', mirror: 'right a', guide: { length: 3 } }] }
    expect(renamePart(twins, 3, 0, 'left top').steps?.[0]).toMatchObject({ section: 'left top', mirror: 'right top' })
  })
  it('tell who uses them', () => {
    expect(usesOfParting(plan, 0)).toEqual({ steps: [], partings: [1, 2] })
    expect(usesOfParting(plan, 2)).toEqual({ steps: [0], partings: [] })
  })
  it('are added to what is whole', () => {
    const next = addParting(plan)
    expect(next.sections?.[3]).toEqual({ split: 'left side', parting: { level: 'occipital bone' }, into: ['left side, upper', 'left side, lower'] })
    expect(addParting({ format: 'lengthwise plan', version: 1, units: 'cm' }).sections?.[0]).toMatchObject({ split: 'all', into: ['left', 'right'] })
  })
})

describe('what an edit is called', () => {
  const called = (where: string, value: Value | undefined, of: Plan = plan) => labelOf(table, of, put(table, of, at(where), value), at(where), en)
  it('names field, step, before and after', () => {
    expect(called('steps[].hold.elevation', 50)).toBe('elevation of back, 45° to 50°')
    expect(called('steps[].guide.length', 3.5)).toBe('length of back, 3 cm to 3.5 cm')
    expect(called('steps[].panels.thickness', '1/2', inches)).toBe('thickness of fade, back, 3/8 in to 1/2 in')
    expect(called('steps[].panels.run', 'level')).toBe('run of back, diagonal forward to level')
    expect(called('hair.length', undefined)).toBe('length of hair, 35 cm to as usual')
  })
})
