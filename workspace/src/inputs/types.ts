// The hole document as a form, as the server tells it.
export interface Term {
  label: string; description: string; kind: string; unit: string; example_unit: string; example: string; default: string;
  source: string; note: string; required: boolean; choices: string[]; choices_from: string;
}
export interface Field { key: string; term: string; written: string; given: boolean; line: number | null; fault: string }
export interface Group {
  key: string; kind: 'block' | 'list' | 'dictionary'; label: string; title: string; description: string; present: boolean;
  required: boolean; removable: boolean; least: number; line: number | null; fault: string; fields: Field[]; groups: Group[];
  new: unknown; new_key: string;
}
export interface Form {
  file: string; root: Group; terms: Record<string, Term>; lists: Record<string, string[]>; sources: Record<string, string>;
}
