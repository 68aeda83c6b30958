// Which section's kick is looked at; '' is the deepest.
class Kicked {
  section = $state('');
}
export const kicked = new Kicked();

/** Path below the hole that asks for the kick of the section looked at. */
export function kickPath(): string {
  return kicked.section ? `kick?section=${encodeURIComponent(kicked.section)}` : 'kick';
}
