// Which step the sections on circulation and heat look at; '' is the deepest.
class Asked {
  step = $state('');
}
export const asked = new Asked();

/** Path below the hole that asks for the circulation of the step looked at. */
export function circulationPath(): string {
  return asked.step ? `circulation?step=${encodeURIComponent(asked.step)}` : 'circulation';
}
