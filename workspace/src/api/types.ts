// The shapes that the server sends, under the names that the front end uses. They are generated from
// the server's own description (`npm run types`); none is written by hand. SI throughout; z is metres
// below mean sea level.
import type { components } from './schema';

type Shapes = components['schemas'];

export type Place = Shapes['Place'];
export type Rock = Shapes['Rock'];
export type PressureCurve = Shapes['PressureCurve'];
export type Window = Shapes['Window'];
export type Cut = Shapes['Cut'];
export type Steel = Shapes['Steel'];
export type Layer = Shapes['Layer'];
export type Part = Shapes['Part'];
export type RiserTube = Shapes['RiserTube'];
export type Span = Shapes['Span'];
export type HoleSection = Shapes['HoleSection'];
export type ProfileCurve = Shapes['ProfileCurve'];
export type StrengthUsed = Shapes['StrengthUsed'];
export type BudgetBar = Shapes['BudgetBar'];
export type Budget = Shapes['Budget'];
export type Handle = Shapes['Handle'];
export type StepMark = Shapes['StepMark'];
export type UnitLine = Shapes['UnitLine'];
export type Scene = Shapes['Scene'];

export type LedgerRow = Shapes['LedgerRow'];
export type LedgerHead = Shapes['LedgerHead'];
export type Status = LedgerRow['status'];
export type Fault = Shapes['Fault'];
export type Edit = Partial<Shapes['Edit']> & Pick<Shapes['Edit'], 'op'>;

export type Session = Shapes['SessionTold'];
export type HoleEntry = Shapes['HoleEntry'];
export type Signature = Shapes['Signature'];
export type Export = Shapes['Export'];

export type Form = Shapes['Form'];
export type Group = Shapes['Group'];
export type Field = Shapes['Field'];
export type UncertainForm = Shapes['UncertainForm'];
export type FieldTerm = Shapes['FieldTerm'];
export type TableColumn = Shapes['TableColumn'];
export type TableText = Shapes['TableText'];
export type ImportPreview = Shapes['ImportPreview'];
export type ImportDone = Shapes['ImportDone'];
export type Mapping = Shapes['Mapping'];

export type ArchitectureAnswer = Shapes['ArchitectureAnswer'];
export type Proposal = Shapes['ProposalTold'];
export type PrognosisAnswer = Shapes['PrognosisAnswer'];
export type NodeAnswer = Shapes['NodeAnswer'];
export type ReachAnswer = Shapes['ReachAnswer'];
export type CirculationAnswer = Shapes['CirculationAnswer'];
export type PlacingAnswer = Shapes['PlacingAnswer'];
export type TopicAnswer = Shapes['TopicAnswer'];
// what all answers on a topic have
export type TopicBody = Pick<TopicAnswer, keyof TopicAnswer & keyof PlacingAnswer>;
export type Progress = Shapes['Progress'];
export type FirstBite = Shapes['FirstBite'];
export type KickAnswer = Shapes['KickAnswer'];
export type MudAnswer = Shapes['MudAnswer'];
export type FluidsAnswer = Shapes['FluidsAnswer'];
export type SteelAnswer = Shapes['SteelAnswer'];
export type SteelString = Shapes['SteelString'];

export type Explanation = Shapes['Explanation'];
export type Comparison = Shapes['Comparison'];
export type RevisionTold = Shapes['RevisionTold'];

/** What the live connection sends. */
export type FromServer =
  | Shapes['StateMessage']
  | Shapes['LedgerMessage']
  | Shapes['AcceptedMessage']
  | Shapes['RefusedMessage']
  | Shapes['ConflictMessage']
  | Shapes['PeopleMessage']
  | Shapes['NoticeMessage'];
