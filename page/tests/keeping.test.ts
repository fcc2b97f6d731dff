import { describe, expect, it } from 'vitest'
import { edited, isDue, keepApart, keepOurs, met, NOWHERE, opened, refused, sent, taken, takeTheirs } from '../src/book/keeping'

const place = { id: 3, revision: 7, person: 1, tags: ['class'] }
const theirs = { text: 'theirs', revision: 9, made: '2026-03-01T09:30:00Z' }
const conflict = () => met(sent(edited(opened(place, 'a', 'a'), 'ours')), theirs)

describe('keeping a plan', () => {
  it('is kept until it is edited, and again when the edit is undone', () => {
    const now = opened(place, 'a', 'a')
    expect(now.state.kind).toBe('kept')
    expect(isDue(edited(now, 'b'))).toBe(true)
    expect(edited(edited(now, 'b'), 'a').state.kind).toBe('kept')
  })
  it('keeps what was typed while the book was writing', () => {
    const writing = sent(edited(opened(place, 'a', 'a'), 'b'))
    const typed = edited(writing, 'c')
    expect(isDue(typed)).toBe(false)
    const after = taken(typed, 'b', { ...place, revision: 8 })
    expect(after.state.kind).toBe('changed')
    expect(after.place.revision).toBe(8)
    expect(after.held).toBe('b')
  })
  it('tries again what the server refused, also after an edit', () => {
    const apart = refused(sent(edited(opened(place, 'a', 'a'), 'b')), 'full', '')
    expect(isDue(apart)).toBe(true)
    expect(isDue(edited(apart, 'c'))).toBe(true)
    expect(edited(apart, 'a').state.kind).toBe('kept')
  })
  it('does not go on by itself where two changed one plan', () => {
    const now = edited(conflict(), 'ours, more')
    expect(now.state.kind).toBe('conflict')
    expect(isDue(now)).toBe(false)
  })
  it('takes the same text from elsewhere for kept', () => {
    expect(met(sent(edited(opened(place, 'a', 'a'), 'b')), { ...theirs, text: 'b' }).state.kind).toBe('kept')
  })
  it('puts ours on top of theirs, takes theirs, or begins another plan', () => {
    expect(keepOurs(conflict())).toMatchObject({ place: { id: 3, revision: 9 }, text: 'ours', state: { kind: 'changed' } })
    expect(takeTheirs(conflict())).toMatchObject({ place: { id: 3, revision: 9 }, text: 'theirs', state: { kind: 'kept' } })
    expect(keepApart(conflict())).toMatchObject({ place: { id: 0, person: 1 }, text: 'ours', state: { kind: 'changed' } })
    const calm = opened(NOWHERE, 'a', 'a')
    for (const decide of [keepOurs, takeTheirs, keepApart]) expect(decide(calm)).toBe(calm)
  })
})
