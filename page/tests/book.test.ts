import { describe, expect, it } from 'vitest'
import bob from '../../examples/graduated-bob.json'
import { beginning } from '../src/book/beginning'
import { differences } from '../src/book/differ'
import { makeShelf, tagsOf } from '../src/book/shelf'
import { fileName } from '../src/paper/paper'
import { Problem, type Api, type KeptPlan } from '../src/server/api'
import { begin, record } from '../src/state/history'
import { planText, withValue, type Plan } from '../src/state/plan'
import { en } from '../src/text/en'

const plan = bob as unknown as Plan
const other = withValue(plan, ['steps', 0, 'hold', 'elevation'], 60)
const kept = (text: string, revision: number): KeptPlan => ({ id: 4, person: 0, revision, title: '', tags: [], text, made: '' })

describe('differences', () => {
  it('tells the place in words, by name where there is one', () => {
    expect(differences(plan, other)).toEqual([{ path: 'steps, “back”, hold, elevation', ours: '45', theirs: '60' }])
  })
  it('tells what is only on one side', () => {
    const fewer = withValue(withValue(plan, ['steps', 1], undefined), ['note'], undefined)
    expect(differences(fewer, plan).map(({ path }) => path).sort()).toEqual(['note', 'steps, “sides”'])
    expect(differences(plan, plan)).toEqual([])
  })
})

describe('small things', () => {
  it('tags', () => expect(tagsOf(' b, a ,,b')).toEqual(['a', 'b']))
  it('file names', () => {
    expect(fileName('Graduated bob, longer toward the face', 'sheet')).toBe('graduated-bob-longer-toward-the-face.pdf')
    expect(fileName('../ /', 'key')).toBe('cut-key.pdf')
  })
})

describe('how the page begins', () => {
  const drafts = (history = begin(plan, ''), isKept = true) => ({
    load: async () => ({ history, plan: 4, person: 0, revision: 2, tags: [], kept: isKept }),
    save: async () => undefined,
    elsewhere: 0,
  })
  const changed = record(begin(plan, ''), other, 'edit')

  it('shows the finished example where nothing was opened before', async () => {
    const first = await beginning(null, { plan: () => Promise.reject(new Error('not asked')) }, en)
    expect(first.first).toBe(true)
    expect(first.place.id).toBe(0)
    expect(first.history.moments[0]?.plan.steps?.length).toBeGreaterThan(0)
  })
  it('goes on where it was', async () => {
    const there = await beginning(drafts(changed, false), { plan: async () => kept(planText(plan), 2) }, en)
    expect(there.history).toBe(changed)
    expect(there.held).toBe(planText(plan))
  })
  it('takes a newer text only where nothing here is left to keep', async () => {
    const newer = await beginning(drafts(), { plan: async () => kept(planText(other), 5) }, en)
    expect(newer.history.moments[1]?.plan).toEqual(other)
    expect(newer.place.revision).toBe(5)
    const met = await beginning(drafts(changed, false), { plan: async () => kept(planText(plan), 5) }, en)
    expect(met.place.revision).toBe(2)
    expect(met.history).toBe(changed)
  })
  it('shows what another page has open, without its history', async () => {
    const none = { load: async () => null, save: async () => undefined, elsewhere: 4 }
    const there = await beginning(none, { plan: async () => kept(planText(other), 3) }, en)
    expect(there.history.moments.map((moment) => moment.plan)).toEqual([other])
    expect(there.place).toMatchObject({ id: 4, revision: 3 })
    expect(there.held).toBe(planText(other))
  })
  it('goes on without a server', async () => {
    const alone = await beginning(drafts(changed, false), { plan: () => Promise.reject(new Problem(0, '', '')) }, en)
    expect(alone.history).toBe(changed)
  })
})

describe('the shelf', () => {
  it('says what went wrong, and that the server is gone in its own words', async () => {
    const shelf = makeShelf({} as Api, { text: 'gone', remedy: 'start it' })
    await shelf.attempt(() => Promise.reject(new Problem(0, 'fetch failed', '')))
    expect(shelf.trouble.value).toEqual({ text: 'gone', remedy: 'start it' })
    await shelf.attempt(() => Promise.reject(new Problem(400, 'name: empty', 'write one')))
    expect(shelf.trouble.value).toEqual({ text: 'name: empty', remedy: 'write one' })
    await shelf.attempt(async () => 1, () => 'done')
    expect(shelf.trouble.value).toBeNull()
    expect(shelf.said.value).toBe('done')
  })
  it('shows the newest search, whichever answers last', async () => {
    const answers: ((value: { all: number; entries: [] }) => void)[] = []
    const api = { find: () => new Promise((resolve) => answers.push(resolve)) } as unknown as Api
    const shelf = makeShelf(api, { text: '', remedy: '' })
    const first = shelf.look()
    const second = shelf.look()
    answers[1]?.({ all: 2, entries: [] })
    answers[0]?.({ all: 1, entries: [] })
    await Promise.all([first, second])
    expect(shelf.found.value.all).toBe(2)
  })
})
