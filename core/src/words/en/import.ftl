### Map sheets from files of others, in English: what is wrong, and what to do about it.

import-file-unknown = This is no GeoPackage, GeoJSON, CSV or CIM file. Export the source as one of these.
import-file-broken = The file cannot be read: { $why }. Get it again.
import-mapping-needed = This file needs a mapping. Write down which layer gives which kind, and name it with --mapping.
import-mapping-broken = The mapping cannot be read: { $why }. Mend it.
import-files-mixed = A map sheet is read alone and without a mapping. Give it alone, or take it out.
import-kind-unknown = '{ $kind }' is no kind of feature. Choose one of { $known }.
import-field-unknown = '{ $field }' is not known here. Choose one of { $known }.
import-field-unmapped = Nothing fills { $fields }, which a { $kind } must have. Name the column, or a value and why it holds.
import-unit-wrong = '{ $unit }' is no unit for this. Write one of { $known }.
import-filling-wrong = This does not fit. Write { $needs }.
import-layer-missing = No file has a layer '{ $layer }'. Correct the name; there are { $known }.
import-layer-twice = Two files have a layer of this name. Rename one, or leave it out.
import-layer-unmapped = The mapping says nothing of this layer: nothing of it is taken.
import-column-missing = The layer has no column '{ $column }'. Correct the name; there are { $known }.
import-column-empty = No row has anything here. Check the name.
import-code-unknown = '{ $is }' is not in the mapping's table. Add what it means; known are { $known }.
import-cell-wrong = '{ $is }' cannot be taken as { $needs }. Correct it in the source, or map it.
import-row-broken = The row cannot be read: { $why }. Mend it in the source.
import-geometry-broken = The geometry cannot be read: { $why }. Draw it again in the source.
import-geometry-kind = '{ $is }' is neither one point nor one line. Draw it as one of them.
import-heights-left = { $count } geometries have heights or measures. They are not kept.
import-system-missing = Nothing says in what the coordinates are given. Add system = "EPSG:…" to the mapping.
import-system-unknown = '{ $system }' cannot be turned into longitude and latitude: { $why }. State another in the mapping, or export in one that can.
import-place-outside = { $x }, { $y } is no place in this reference system: { $why }. Correct it in the source, or the system in the mapping.
import-place-missing = There is no place for node '{ $node }'. Add it to the layer of places.
import-place-twice = Node '{ $node }' is at two places. Correct one of them.
import-value-stated = { $field } is { $value } for all { $count } rows, as the mapping says: { $because }.
import-drawn-straight = { $count } lines are drawn straight between their ends, as the mapping says. They are not where the cables lie.
import-rows-left = { $count } rows are left out, as the mapping says.
import-reference-missing = It refers to '{ $name }', which the file does not hold. Export both together.
import-name-twice = '{ $name }' stands there twice. Name it once.
import-refused = Refused whole: { $errors } errors, { $warnings } warnings. Nothing was written.
import-written = Written to { $path }: { $features } features of { $rows } rows, { $warnings } warnings.
import-more = { $count } findings more are counted here and not listed.
