// Taken hold of on the head: what is carried, the finger line, the guide, places, the head itself. After each drag the number in
// the plan, what is said beside the handle and where it stands agree; Escape takes back what the hand has not let go.
import type { CDPSession } from 'playwright-core'
import { expect, it } from 'vitest'
import { sit } from './here'
import { another, canvas, drag, figure, landmark, openExample, standing, steps, undo, type Person } from './person'

type At = Person['page']
type Point = { x: number; y: number }

const handle = (page: At, id: string) => page.locator(`.handle[data-handle=${id}]`)
const grip = (page: At, id: string): Promise<Point> => standing(page, `.handle[data-handle=${id}] .grip`)
const tag = async (page: At, id: string): Promise<string> => (await handle(page, id).locator('.tag').innerText()).trim()
const far = (a: Point, b: Point): number => Math.hypot(a.x - b.x, a.y - b.y)
const choose = (page: At, step: number) => steps(page).nth(step).locator('.step-name').click()
const undoes = (page: At) => page.getByRole('button', { name: 'Undo', exact: true }).getAttribute('title')

it('carries a panel to the one before it', async () => {
  const { page, shot } = await sit({ draws: false })
  await choose(page, 0)
  await page.getByRole('button', { name: 'Farther' }).click() // a hand has chosen how near
  await grip(page, 'carry')
  const before = await steps(page).first().locator('.says').innerText()
  expect(await tag(page, 'carry')).toContain('own place')
  // Its way to the panel before, as the keys take it.
  await handle(page, 'carry').focus()
  for (let i = 0; i < 4; i++) await another(page, () => handle(page, 'carry').press('ArrowUp'))
  expect(await tag(page, 'carry')).toContain('all the way')
  const to = await grip(page, 'carry')
  await undo(page) // keys in one go are one edit
  expect(await tag(page, 'carry')).toContain('own place')
  await another(page, async () => drag(page, await grip(page, 'carry'), to, () => shot('drag-carry')))
  expect(await tag(page, 'carry')).toContain('all the way')
  expect(far(await grip(page, 'carry'), to)).toBeLessThan(3)
  const after = await steps(page).first().locator('.says').innerText()
  expect(before).not.toContain('all the way')
  expect(after).toContain('all the way')
  await undo(page)
  await steps(page).first().getByText(before).waitFor()
})

it('tilts the finger line', async () => {
  const { page, shot } = await sit({ draws: false })
  await choose(page, 0)
  const from = await grip(page, 'tilt')
  expect(await tag(page, 'tilt')).toContain('straight')
  const to = { x: from.x + 14, y: from.y + 14 }
  await another(page, () => drag(page, from, to, () => shot('drag-tilt')))
  const [, by, longer] = /(\d+)°, (longer .*)/.exec(await tag(page, 'tilt')) ?? []
  expect(Number(by)).toBeGreaterThan(0)
  await figure(page, 0, `${by} degrees`).waitFor()
  expect(await steps(page).first().locator('.says').innerText()).toContain(longer)
  await undo(page)
  await steps(page).first().getByText('cut a straight line').waitFor()
})

it('lengthens the guide at the end of its hair: plan, handle and head say the same', async () => {
  const { page, shot } = await sit({ draws: false })
  await choose(page, 0)
  await page.getByRole('button', { name: 'Left', exact: true }).click()
  await page.getByRole('button', { name: 'Farther' }).click() // a hand has chosen how near
  const from = await grip(page, 'guide')
  expect(await tag(page, 'guide')).toMatch(/3 cm$/)
  const to = { x: from.x + 30, y: from.y + 30 }
  await another(page, () => drag(page, from, to, () => shot('drag-guide')))
  const said = /([\d.]+) cm$/.exec(await tag(page, 'guide'))?.[1]
  expect(Number(said)).toBeGreaterThan(3)
  await figure(page, 0, `${said} cm`).waitFor()
  // What was cut to it at the nape is so long, within what hairs about it differ by.
  await page.waitForFunction((cm) => {
    const label = [...document.querySelectorAll('button.length')].map((one) => one.getAttribute('aria-label') ?? '').find((one) => one.startsWith('nape centre'))
    return Math.abs(Number(/: ([\d.]+) cm/.exec(label ?? '')?.[1]) - cm) < 0.25
  }, Number(said))
  // Half a centimetre is about ten pixels, and the head shows the hand's own place rounded to it.
  expect(far(await grip(page, 'guide'), to)).toBeLessThan(12)
  await handle(page, 'guide').press('Shift+ArrowUp')
  await figure(page, 0, `${(Number(said) + 0.1).toFixed(1)} cm`).waitFor()
})

it('moves a place that a parting goes through, onto a landmark and between two', async () => {
  const { page, shot } = await sit({ draws: false })
  await page.getByRole('button', { name: 'Landmarks', exact: true }).click()
  await page.locator('.partings > .parting').first().click()
  await page.getByRole('button', { name: 'Left', exact: true }).click()
  const from = await grip(page, 'place-1') // behind the left ear
  const to = await landmark(page, 'ear top left')
  await another(page, () => drag(page, from, { x: to.x, y: to.y }, () => shot('drag-peg')))
  await page.locator('.partings > .parting').first().getByText('the top of the left ear').waitFor()
  await expect.poll(() => handle(page, 'place-1').getAttribute('aria-valuetext')).toBe('ear top left')
  expect(far(await grip(page, 'place-1'), to)).toBeLessThan(6)
  const between = { x: to.x + 45, y: to.y - 30 }
  await another(page, () => drag(page, to, between))
  const said = (await handle(page, 'place-1').getAttribute('aria-valuetext')) ?? ''
  expect(said).toMatch(/^\d+ % from ear top left to /)
  const share = Number(/^\d+/.exec(said)?.[0])
  expect(share).toBeGreaterThan(0)
  expect(share).toBeLessThan(100)
  await undo(page)
  await undo(page)
  await expect.poll(() => handle(page, 'place-1').getAttribute('aria-valuetext')).toBe('behind ear left')
})

it('moves the place that hair is carried to', async () => {
  const { page } = await sit({ draws: false })
  await openExample(page, /One-length bob/)
  await page.keyboard.press('Escape')
  await choose(page, 2)
  await page.getByRole('button', { name: 'Left', exact: true }).click()
  const from = await grip(page, 'toward')
  const was = await handle(page, 'toward').getAttribute('aria-valuetext')
  await another(page, () => drag(page, from, { x: from.x - 25, y: from.y - 8 }))
  const now = (await handle(page, 'toward').getAttribute('aria-valuetext')) ?? ''
  expect(now).not.toBe(was)
  // The sentence names the same share of the way, or the same landmark.
  const share = /^(\d+) %/.exec(now)?.[1]
  const says = await steps(page).nth(2).locator('.says').innerText()
  expect(says).toContain(share ? 'of the way' : now.replace(/ (left|right)$/, ''))
  await undo(page)
  await expect.poll(() => handle(page, 'toward').getAttribute('aria-valuetext')).toBe(was)
})

it('takes back by Escape what the hand has not let go', async () => {
  const { page } = await sit({ draws: false })
  await choose(page, 0)
  await page.getByRole('button', { name: 'Farther' }).click() // a hand has chosen how near: hair that comes to rest does not move the eye
  const says = steps(page).first().locator('.says')
  const before = await says.innerText()
  for (const [id, x, y] of [['elevation', -3, -6], ['tilt', -3, -6], ['carry', -1, 4], ['guide', 3, 4]] as const) {
    const from = await grip(page, id)
    await page.mouse.move(from.x, from.y)
    await page.mouse.down()
    await another(page, async () => {
      for (let i = 1; i <= 8; i++) await page.mouse.move(from.x + x * i, from.y + y * i)
    })
    await page.waitForFunction((old) => (document.querySelector('.steps .says') as HTMLElement).innerText !== old, before)
    await page.keyboard.press('Escape')
    await says.getByText(before).waitFor()
    await page.mouse.move(from.x - 60, from.y - 60) // the hand is still down, and holds nothing
    await page.mouse.up()
    expect(await says.innerText()).toBe(before)
    expect(await undoes(page)).toBe('Nothing to undo')
    expect(far(await grip(page, id), from)).toBeLessThan(2)
  }
})

// ---- the head itself ----

// How far apart two landmarks stand, and where their middle is: what coming nearer and moving change.
async function seen(page: At): Promise<{ apart: number; middle: Point }> {
  const a = await landmark(page, 'temple left'), b = await landmark(page, 'ear top left')
  return { apart: far(a, b), middle: { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 } }
}

async function fingers(touch: CDPSession, from: readonly [Point, Point], to: readonly [Point, Point]): Promise<void> {
  const at = (share: number) => [0, 1].map((i) => ({ x: (from[i] as Point).x + ((to[i] as Point).x - (from[i] as Point).x) * share, y: (from[i] as Point).y + ((to[i] as Point).y - (from[i] as Point).y) * share, id: i }))
  await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: at(0) })
  for (let i = 1; i <= 10; i++) await touch.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: at(i / 10) })
  await touch.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] })
}

it('comes nearer and moves under two fingers, under shift and under the wheel', async () => {
  const { page, context } = await sit({ draws: false, touch: true })
  await page.getByRole('button', { name: 'Landmarks', exact: true }).click()
  await page.getByRole('button', { name: 'Left', exact: true }).click()
  const box = await canvas(page).boundingBox()
  if (!box) throw new Error('no head')
  const c = { x: box.x + box.width / 2, y: box.y + box.height * 0.75 } // no landmark is there
  const touch = await context.newCDPSession(page)
  let before = await seen(page)
  await fingers(touch, [{ x: c.x - 60, y: c.y }, { x: c.x + 60, y: c.y }], [{ x: c.x - 90, y: c.y }, { x: c.x + 90, y: c.y }])
  let after = await seen(page)
  expect(after.apart / before.apart).toBeCloseTo(1.5, 1) // as far as the fingers went apart
  before = after
  await fingers(touch, [{ x: c.x - 60, y: c.y }, { x: c.x + 60, y: c.y }], [{ x: c.x - 20, y: c.y + 50 }, { x: c.x + 100, y: c.y + 50 }])
  after = await seen(page)
  expect(after.apart / before.apart).toBeCloseTo(1, 1)
  expect(after.middle.x - before.middle.x).toBeGreaterThan(30) // goes along with them
  expect(after.middle.y - before.middle.y).toBeGreaterThan(40)
  before = after
  await page.keyboard.down('Shift')
  await drag(page, { x: c.x, y: c.y }, { x: c.x - 40, y: c.y - 50 })
  await page.keyboard.up('Shift')
  after = await seen(page)
  expect(after.apart / before.apart).toBeCloseTo(1, 1)
  expect(after.middle.x - before.middle.x).toBeCloseTo(-40, -1)
  expect(after.middle.y - before.middle.y).toBeCloseTo(-50, -1)
  before = after
  await page.mouse.move(c.x, c.y)
  await page.mouse.wheel(0, 300)
  after = await seen(page)
  expect(after.apart).toBeLessThan(before.apart)
  // One finger turns it.
  await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: [{ x: c.x, y: box.y + 60 }] })
  for (let i = 1; i <= 5; i++) await touch.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: [{ x: c.x + 12 * i, y: box.y + 60 }] })
  await touch.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] })
  expect(far((await seen(page)).middle, after.middle)).toBeGreaterThan(3)
})
