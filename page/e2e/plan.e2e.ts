// The plan on the page: sentences whose numbers are the controls, and what can be done with steps, by hand and by keys.
import { expect, it } from 'vitest'
import { sit } from './here'
import { another, figure, steps, undo, type Person } from './person'

const names = (page: Person['page']): Promise<string[]> => page.locator('.steps .step-name').evaluateAll((all) => all.map((one) => (one as HTMLInputElement).value))

it('says the plan in sentences and changes a number in place; the hair follows, one undo takes it back', async () => {
  const { page, shot } = await sit({ draws: false })
  await steps(page).first().getByText('From the bottom of “left back”, take diagonal panels 1.5 cm thick').waitFor()
  await figure(page, 0, '45').click()
  const input = steps(page).first().locator('.word-open input')
  await another(page, () => input.press('ArrowUp'))
  await another(page, () => input.press('ArrowUp'))
  expect(await input.inputValue()).toBe('55')
  await input.press('Shift+ArrowUp')
  expect(await input.inputValue()).toBe('56')
  await input.press('Enter')
  await figure(page, 0, '56 degrees').waitFor()
  await shot('plan-number')
  await undo(page)
  await figure(page, 0, '45 degrees').waitFor()
})

it('keeps what was typed wrongly, says why and what to write, and leaves the plan alone', async () => {
  const { page, shot } = await sit({ draws: false })
  await figure(page, 0, '3 cm').click()
  const input = steps(page).first().locator('.word-open input')
  await input.fill('three')
  await page.getByText('That is not a number. Write, for example,').first().waitFor()
  expect(await input.getAttribute('aria-invalid')).toBe('true')
  await shot('plan-wrong')
  await input.fill('4,5')
  expect(await input.getAttribute('aria-invalid')).toBe('false')
  await input.press('Enter')
  await figure(page, 0, '4.5 cm').waitFor()
})

it('duplicates, renames, leaves out, puts back, splits, removes and moves steps by buttons and keys', async () => {
  const { page } = await sit({ draws: false })
  await steps(page).first().locator('.step-name').click()
  await page.getByRole('button', { name: 'Duplicate', exact: true }).click()
  await page.waitForFunction(() => document.querySelectorAll('.steps > .step').length === 3)
  const copied = (await names(page))[1] as string
  expect(copied).not.toBe('back')
  await steps(page).nth(1).locator('.step-name').fill('check')
  await steps(page).nth(1).locator('.says:not(.quiet-text)').waitFor() // the core's answer leaves alone what is being typed
  await steps(page).nth(1).locator('.step-name').press('Enter')
  expect(await names(page)).toEqual(['back', 'check', 'sides'])
  await another(page, () => page.getByRole('button', { name: 'Leave out', exact: true }).click())
  await steps(page).nth(1).getByText('left out', { exact: true }).waitFor()
  await another(page, () => page.getByRole('button', { name: 'Put back', exact: true }).click())
  await steps(page).nth(1).locator('.grip').press('Alt+ArrowDown')
  expect(await names(page)).toEqual(['back', 'sides', 'check'])
  await page.getByText('check is now step 3 of 3').waitFor({ state: 'attached' }) // for those who hear it
  await page.getByRole('button', { name: 'Remove', exact: true }).click()
  expect(await names(page)).toEqual(['back', 'sides'])
  await steps(page).first().locator('.step-name').click()
  await page.getByRole('button', { name: 'Other side by itself' }).click()
  await page.waitForFunction(() => document.querySelectorAll('.steps > .step').length === 3)
})

it('moves a step by dragging it', async () => {
  const { page, shot } = await sit({ draws: false })
  const grips = page.locator('.steps .grip')
  await grips.nth(1).scrollIntoViewIfNeeded()
  const from = await grips.nth(1).boundingBox()
  const to = await steps(page).first().boundingBox()
  if (!from || !to) throw new Error('the steps are not on the screen')
  await page.mouse.move(from.x + from.width / 2, from.y + from.height / 2)
  await page.mouse.down()
  await page.mouse.move(from.x + 10, (from.y + to.y) / 2, { steps: 8 })
  await page.mouse.move(to.x + 30, Math.max(110, to.y + 5), { steps: 8 })
  await shot('plan-drag')
  await page.mouse.up()
  expect(await names(page)).toEqual(['sides', 'back'])
})

it('tells at the step why a plan cannot be carried out, while the head goes on showing the last good one', async () => {
  const { page, shot } = await sit({ draws: false })
  // The sides take their guide from the back, which would come after them.
  await steps(page).nth(1).locator('.grip').press('Alt+ArrowUp')
  const fault = page.locator('.fault')
  await fault.waitFor()
  expect(await fault.innerText()).toContain('back')
  await shot('plan-fault')
  await undo(page)
  await fault.waitFor({ state: 'detached' })
})

it('measures the head: the head changes, and figures that contradict each other are told where they stand', async () => {
  const { page, shot } = await sit({ draws: false })
  await page.getByRole('tab', { name: 'Measures' }).click()
  const measure = page.locator('.measure', { has: page.locator('#value-head-circumference') })
  await measure.locator('.tape-near').waitFor({ state: 'attached' }) // a level line has no height to be seen by
  await another(page, () => measure.getByRole('textbox').press('ArrowUp'))
  expect(await measure.getByRole('textbox').inputValue()).toBe('56')
  await shot('measures')
  await measure.getByRole('textbox').fill('50')
  const length = page.locator('.measure', { has: page.locator('#value-head-head_length') })
  await length.getByRole('textbox').fill('22')
  await page.locator('.measure .trouble').first().waitFor()
  await shot('measures-contradict')
  await length.getByRole('button', { name: /Not measured/ }).click()
  await measure.getByRole('textbox').fill('56')
  await page.locator('.measure .trouble').waitFor({ state: 'detached' })
})
