// The head on the page: turned, looked at from every side, taken hold of. What is dragged and what is read agree.
import { expect, it } from 'vitest'
import { sit } from './here'
import { canvas, standing, undo, type Person } from './person'

type At = Person['page']

// Where the landmarks stand on the screen, which tells from where the head is seen.
const marks = (page: At): Promise<string> => page.locator('.head .landmark .dot').evaluateAll((all) => all.map((dot) => `${dot.getAttribute('cx')} ${dot.getAttribute('cy')}`).join())

// The picture, as bytes: two that differ are two pictures.
async function picture(page: At): Promise<string> {
  await page.waitForTimeout(1500) // until it has settled
  return (await canvas(page).screenshot({ timeout: 100_000 })).toString('base64')
}

it('is looked at from every side, by buttons, by keys and by hand, and comes nearer', async () => {
  const { page, shot } = await sit({ draws: false })
  await page.getByRole('button', { name: 'Landmarks', exact: true }).click()
  const seen = new Set<string>()
  const turned = async (how: () => Promise<unknown>): Promise<void> => {
    const before = await marks(page)
    await how()
    await page.waitForFunction((old) => [...document.querySelectorAll('.head .landmark .dot')].map((dot) => `${dot.getAttribute('cx')} ${dot.getAttribute('cy')}`).join() !== old, before)
    await page.waitForTimeout(500)
    seen.add(await marks(page))
  }
  for (const side of ['Front', 'Left', 'Back', 'Right', 'Above', 'Front']) {
    await turned(() => page.getByRole('button', { name: side, exact: true }).click())
    await shot(`head-${side.toLowerCase()}`)
  }
  expect(seen.size).toBe(5)
  await turned(() => canvas(page).press('ArrowLeft'))
  await turned(() => canvas(page).press('+'))
  const box = await canvas(page).boundingBox()
  if (!box) throw new Error('no head')
  const [x, y] = [box.x + box.width / 2, box.y + box.height * 0.8]
  await turned(async () => {
    await page.mouse.move(x, y)
    await page.mouse.down()
    await page.mouse.move(x + 150, y, { steps: 10 })
    await page.mouse.up()
  })
})

it('shows hair fallen, standing at its length, held and not at all; lengths with a scale; landmarks; sections', async () => {
  const { page, shot } = await sit({ width: 1000, height: 700 })
  const seen = new Set<string>()
  for (const state of ['Fallen', 'Lengths', 'Held', 'Off']) {
    await page.getByRole('button', { name: state, exact: true }).click()
    await page.waitForTimeout(2000)
    seen.add(await picture(page))
    await shot(`hair-${state.toLowerCase()}`)
  }
  expect(seen.size).toBe(4)
  await page.getByRole('button', { name: 'Fallen', exact: true }).click()
  for (const more of ['Length map', 'Landmarks', 'Sections']) {
    const button = page.getByRole('button', { name: more, exact: true })
    await button.click()
    expect(await button.getAttribute('aria-pressed')).toBe('true')
    await page.waitForTimeout(1500)
    await shot(`show-${more.toLowerCase().replace(' ', '-')}`)
  }
  await page.getByText('nape centre', { exact: false }).first().waitFor({ state: 'attached' })
})

it('is taken hold of: the angle of the held hair follows the hand, and sentence and handle say the same', async () => {
  const { page, shot } = await sit({ draws: false })
  await page.locator('.steps .step-name').first().click()
  const handle = page.locator('.handle[data-handle=elevation]')
  const at = await standing(page, '.handle[data-handle=elevation] .grip')
  await page.mouse.move(at.x, at.y)
  await page.mouse.down()
  for (let i = 1; i <= 10; i++) await page.mouse.move(at.x, at.y - 9 * i)
  await shot('drag-elevation')
  const said = /(-?\d+(?:\.\d+)?)°/.exec(await handle.innerText())?.[1]
  await page.mouse.up()
  expect(Number(said)).not.toBe(45)
  await page.locator('.steps > .step').first().locator('.figure', { hasText: `${said} degrees` }).waitFor()
  await undo(page) // a drag is one edit
  await page.locator('.steps > .step').first().locator('.figure', { hasText: '45 degrees' }).waitFor()
})

it('is taken hold of by keys as well', async () => {
  const { page } = await sit({ draws: false })
  await page.locator('.steps .step-name').first().click()
  const handle = page.locator('.handle[data-handle=elevation]')
  await handle.locator('.grip').waitFor()
  await handle.press('ArrowUp')
  await page.locator('.steps > .step').first().locator('.figure', { hasText: '50 degrees' }).waitFor()
})

it('lets a parting be dragged', async () => {
  const { page, shot } = await sit({ draws: false })
  await page.locator('#panel-plan .parting, #panel-plan [data-section], #panel-plan .part li').first().click()
  await page.getByRole('button', { name: 'Left', exact: true }).click()
  await page.waitForTimeout(2000)
  const at = await standing(page, '.handle .grip')
  const before = await page.locator('#panel-plan').innerText()
  await page.mouse.move(at.x, at.y)
  await page.mouse.down()
  await page.mouse.move(at.x - 60, at.y + 25, { steps: 12 }) // on the scalp
  await shot('drag-parting')
  await page.mouse.up()
  await page.waitForFunction((old) => (document.querySelector('#panel-plan') as HTMLElement).innerText !== old, before)
  await undo(page)
  await page.waitForFunction((old) => (document.querySelector('#panel-plan') as HTMLElement).innerText === old, before)
})
