/** What every entity of some kind has without writing it: masses, centres of mass, inertias. */
import { onBlocks, onName } from '../../model/dependency.js';
import type { Entity } from '../../model/namespace.js';
import type { Elaboration } from './elaboration.js';
import { massProperties, partMembers } from './mass.js';
import { isPoison, type RecordValue, type Value } from '../values/value.js';

export interface Attribute {
  readonly kinds: readonly string[];
  readonly doc: string;
  calculate(elaborator: Elaboration, entity: Entity): Value;
}

function ofMass(name: string, doc: string): [string, Attribute] {
  return [
    name,
    {
      kinds: ['part'],
      doc,
      calculate: (elaborator, entity) => {
        const properties = elaborator.host.attribute(entity, 'mass_properties')!;
        return isPoison(properties) ? properties : (properties as RecordValue).entries.get(name)!;
      },
    },
  ];
}

const centre = ofMass(
  'center_of_mass',
  'Where the centre of mass of a part with all that is inside it lies, in the frame of the part.',
);

export const ATTRIBUTES: ReadonlyMap<string, Attribute> = new Map<string, Attribute>([
  [
    'mass_properties',
    {
      kinds: ['part'],
      doc: 'Masses, first moments and inertias of one item with all that is inside it.',
      calculate: massProperties,
    },
  ],
  ofMass('basic_mass', 'Mass of one item with all that is inside it, without growth.'),
  ofMass('predicted_mass', 'Mass of one item with all that is inside it, each grown by its maturity.'),
  centre,
  ['centre_of_mass', { ...centre[1], calculate: centre[1].calculate }],
  ofMass(
    'inertia_tensor',
    'Moments and products of inertia about the centre of mass; products are the elements of the tensor, −Σ m·x·y.',
  ),
  [
    'children',
    {
      kinds: ['part'],
      doc: 'The parts directly inside.',
      calculate: (elaborator, entity) => {
        elaborator.host.dependsOn(onBlocks('part'));
        return {
          kind: 'list',
          items: partMembers(elaborator.host, entity).map(part => ({ kind: 'entity', entity: part })),
          labels: partMembers(elaborator.host, entity).map(part => part.name),
        };
      },
    },
  ],
  [
    'parts',
    {
      kinds: ['part'],
      doc: 'The parts directly inside.',
      calculate: (elaborator, entity) => elaborator.host.attribute(entity, 'children')!,
    },
  ],
  [
    'lot',
    {
      kinds: ['part'],
      doc: 'The lot that its material comes from.',
      calculate: (elaborator, entity) => {
        elaborator.host.dependsOn(onName('material'), entity);
        const material = elaborator.host.itemOf(entity, 'material')?.item;
        if (material) elaborator.host.read(entity, material);
        const from = material?.annotations.from?.[0];
        if (from) elaborator.host.dependsOn(onName(from.path.join('.')));
        const lot = from && elaborator.host.namespace.labelled(from.path.join('.'))[0];
        return lot
          ? { kind: 'entity', entity: lot }
          : { kind: 'poison', reason: { code: 'no-lot', data: { part: entity.path }, place: null } };
      },
    },
  ],
]);
