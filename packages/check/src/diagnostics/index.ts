import type { DiagnosticCode } from '@ferrule/engine';
import { acrossZero } from './across-zero.ts';
import { alwaysTrue } from './always-true.ts';
import { badAlias } from './bad-alias.ts';
import { badCharacter } from './bad-character.ts';
import { badCircle } from './bad-circle.ts';
import { badExpression } from './bad-expression.ts';
import { badKey } from './bad-key.ts';
import { badQuantity } from './bad-quantity.ts';
import { badRepeats } from './bad-repeats.ts';
import { badShape } from './bad-shape.ts';
import { badStock } from './bad-stock.ts';
import { belowZero } from './below-zero.ts';
import { beyondInstrument } from './beyond-instrument.ts';
import { beyondTable } from './beyond-table.ts';
import { bundleFormat } from './bundle-format.ts';
import { bundleSyntax } from './bundle-syntax.ts';
import { cannotConform } from './cannot-conform.ts';
import { cannotFail } from './cannot-fail.ts';
import { cannotJudge } from './cannot-judge.ts';
import { changeWithoutAct } from './change-without-act.ts';
import { coarseStock } from './coarse-stock.ts';
import { commentInText } from './comment-in-text.ts';
import { contrarySide } from './contrary-side.ts';
import { contraryWords } from './contrary-words.ts';
import { copiedStep } from './copied-step.ts';
import { correctedTwice } from './corrected-twice.ts';
import { crankData } from './crank-data.ts';
import { dangerUnacknowledged } from './danger-unacknowledged.ts';
import { deadEnd } from './dead-end.ts';
import type { DiagnosticKind } from './diagnostic-kind.ts';
import { dividedByZero } from './divided-by-zero.ts';
import { dualDisagrees } from './dual-disagrees.ts';
import { duplicateKey } from './duplicate-key.ts';
import { duplicateName } from './duplicate-name.ts';
import { emptyFile } from './empty-file.ts';
import { emptyValue } from './empty-value.ts';
import { failedTrial } from './failed-trial.ts';
import { fileName } from './file-name.ts';
import { finalTorque } from './final-torque.ts';
import { fixedAngle } from './fixed-angle.ts';
import { forbiddenKey } from './forbidden-key.ts';
import { hazardElsewhere } from './hazard-elsewhere.ts';
import { identifiedTwice } from './identified-twice.ts';
import { idleCondition } from './idle-condition.ts';
import { idleLaw } from './idle-law.ts';
import { idleRework } from './idle-rework.ts';
import { invalidUtf8 } from './invalid-utf8.ts';
import { irregularFile } from './irregular-file.ts';
import { judgesAnother } from './judges-another.ts';
import { lawBroken } from './law-broken.ts';
import { libraryDigest } from './library-digest.ts';
import { listedBores } from './listed-bores.ts';
import { literalBore } from './literal-bore.ts';
import { literalCount } from './literal-count.ts';
import { lostPreliminary } from './lost-preliminary.ts';
import { lowOnScale } from './low-on-scale.ts';
import { mergeKey } from './merge-key.ts';
import { missingBraces } from './missing-braces.ts';
import { missingCase } from './missing-case.ts';
import { missingFolder } from './missing-folder.ts';
import { missingId } from './missing-id.ts';
import { missingKey } from './missing-key.ts';
import { missingLibrary } from './missing-library.ts';
import { missingManifest } from './missing-manifest.ts';
import { mixedLimits } from './mixed-limits.ts';
import { movesAway } from './moves-away.ts';
import { namesAnother } from './names-another.ts';
import { needlessRemedy } from './needless-remedy.ts';
import { needlessRequirement } from './needless-requirement.ts';
import { needsBore } from './needs-bore.ts';
import { neverCompared } from './never-compared.ts';
import { neverEntered } from './never-entered.ts';
import { neverJudged } from './never-judged.ts';
import { neverParked } from './never-parked.ts';
import { neverTaken } from './never-taken.ts';
import { neverUsed } from './never-used.ts';
import { noCrank } from './no-crank.ts';
import { noIdentity } from './no-identity.ts';
import { noPattern } from './no-pattern.ts';
import { noRemedy } from './no-remedy.ts';
import { noRotationPlan } from './no-rotation-plan.ts';
import { noSource } from './no-source.ts';
import { noVerb } from './no-verb.ts';
import { notAMapping } from './not-a-mapping.ts';
import { notBeside } from './not-beside.ts';
import { notCalibrated } from './not-calibrated.ts';
import { notExported } from './not-exported.ts';
import { notListed } from './not-listed.ts';
import { notRemoved } from './not-removed.ts';
import { notRenewed } from './not-renewed.ts';
import { notSingleUse } from './not-single-use.ts';
import { notSurelyDone } from './not-surely-done.ts';
import { oddFact } from './odd-fact.ts';
import { otherNumber } from './other-number.ts';
import { otherwiseByVariant } from './otherwise-by-variant.ts';
import { outOfReach } from './out-of-reach.ts';
import { overlappingCases } from './overlapping-cases.ts';
import { overlayOfAnother } from './overlay-of-another.ts';
import { overlayWeakens } from './overlay-weakens.ts';
import { pointsOrder } from './points-order.ts';
import { privateKey } from './private-key.ts';
import { recursiveProcedure } from './recursive-procedure.ts';
import { releaseBroken } from './release-broken.ts';
import { releaseOfAnother } from './release-of-another.ts';
import { releaseOutsidePolicy } from './release-outside-policy.ts';
import { releasedFileAdded } from './released-file-added.ts';
import { releasedFileChanged } from './released-file-changed.ts';
import { releasedFileMissing } from './released-file-missing.ts';
import { reliedUnjudged } from './relied-unjudged.ts';
import { remedyDisturbs } from './remedy-disturbs.ts';
import { removedTwice } from './removed-twice.ts';
import { repeatedNumber } from './repeated-number.ts';
import { resumeAt } from './resume-at.ts';
import { reversedPair } from './reversed-pair.ts';
import { reworkLeavesState } from './rework-leaves-state.ts';
import { safetyConcession } from './safety-concession.ts';
import { sameLaw } from './same-law.ts';
import { samePosition } from './same-position.ts';
import { sameRole } from './same-role.ts';
import { sameShape } from './same-shape.ts';
import { sameTitle } from './same-title.ts';
import { sameTwice } from './same-twice.ts';
import { sectionConflict } from './section-conflict.ts';
import { severalChecks } from './several-checks.ts';
import { severalDocuments } from './several-documents.ts';
import { severalVerbs } from './several-verbs.ts';
import { signalWord } from './signal-word.ts';
import { singleBore } from './single-bore.ts';
import { splitSet } from './split-set.ts';
import { stageOrder } from './stage-order.ts';
import { strayFile } from './stray-file.ts';
import { swappedChange } from './swapped-change.ts';
import { symbolicLink } from './symbolic-link.ts';
import { takenInALoop } from './taken-in-a-loop.ts';
import { temperatureConversion } from './temperature-conversion.ts';
import { tooCoarse } from './too-coarse.ts';
import { tooDeep } from './too-deep.ts';
import { tooLarge } from './too-large.ts';
import { tooManyFaults } from './too-many-faults.ts';
import { tooManyFiles } from './too-many-files.ts';
import { tooManySteps } from './too-many-steps.ts';
import { tooManyValues } from './too-many-values.ts';
import { toolInText } from './tool-in-text.ts';
import { torqueDiffers } from './torque-differs.ts';
import { twinDiffers } from './twin-differs.ts';
import { unaskedRole } from './unasked-role.ts';
import { uncertaintyUnknown } from './uncertainty-unknown.ts';
import { uncoveredGiven } from './uncovered-given.ts';
import { unexpectedKey } from './unexpected-key.ts';
import { unfinishedProof } from './unfinished-proof.ts';
import { unknownKey } from './unknown-key.ts';
import { unknownName } from './unknown-name.ts';
import { unknownPlaceHolder } from './unknown-place-holder.ts';
import { unmarkedSafety } from './unmarked-safety.ts';
import { unreachable } from './unreachable.ts';
import { unreadableFile } from './unreadable-file.ts';
import { unusedName } from './unused-name.ts';
import { unusualLimits } from './unusual-limits.ts';
import { unwrittenText } from './unwritten-text.ts';
import { waitWithoutTime } from './wait-without-time.ts';
import { wrongEnd } from './wrong-end.ts';
import { wrongExtreme } from './wrong-extreme.ts';
import { wrongForm } from './wrong-form.ts';
import { wrongHolder } from './wrong-holder.ts';
import { wrongPattern } from './wrong-pattern.ts';
import { wrongQuantity } from './wrong-quantity.ts';
import { wrongValue } from './wrong-value.ts';
import { yamlDirective } from './yaml-directive.ts';
import { yamlSyntax } from './yaml-syntax.ts';
import { yamlTag } from './yaml-tag.ts';

/** Every kind of fault that `check` can report, in the order in which a pack is read. */
export const diagnosticKinds: Readonly<Record<DiagnosticCode, DiagnosticKind>> = {
  'missing-folder': missingFolder,
  'missing-manifest': missingManifest,
  'unreadable-file': unreadableFile,
  'symbolic-link': symbolicLink,
  'irregular-file': irregularFile,
  'file-name': fileName,
  'stray-file': strayFile,
  'too-many-files': tooManyFiles,
  'too-large': tooLarge,
  'missing-library': missingLibrary,
  'not-beside': notBeside,
  'library-digest': libraryDigest,
  'overlay-of-another': overlayOfAnother,
  'overlay-weakens': overlayWeakens,
  'release-broken': releaseBroken,
  'release-of-another': releaseOfAnother,
  'released-file-changed': releasedFileChanged,
  'released-file-added': releasedFileAdded,
  'released-file-missing': releasedFileMissing,
  'release-outside-policy': releaseOutsidePolicy,
  'private-key': privateKey,
  'invalid-utf8': invalidUtf8,
  'bad-character': badCharacter,
  'yaml-syntax': yamlSyntax,
  'yaml-tag': yamlTag,
  'yaml-directive': yamlDirective,
  'several-documents': severalDocuments,
  'empty-file': emptyFile,
  'not-a-mapping': notAMapping,
  'too-deep': tooDeep,
  'too-many-values': tooManyValues,
  'too-many-faults': tooManyFaults,
  'duplicate-key': duplicateKey,
  'forbidden-key': forbiddenKey,
  'bad-key': badKey,
  'merge-key': mergeKey,
  'bad-alias': badAlias,
  'empty-value': emptyValue,
  'comment-in-text': commentInText,
  'missing-id': missingId,
  'section-conflict': sectionConflict,
  'unexpected-key': unexpectedKey,
  'bundle-syntax': bundleSyntax,
  'bundle-format': bundleFormat,
  'unknown-key': unknownKey,
  'missing-key': missingKey,
  'wrong-form': wrongForm,
  'wrong-value': wrongValue,
  'unknown-name': unknownName,
  'unused-name': unusedName,
  'duplicate-name': duplicateName,
  'same-law': sameLaw,
  'idle-law': idleLaw,
  'same-title': sameTitle,
  'needs-bore': needsBore,
  'not-exported': notExported,
  'recursive-procedure': recursiveProcedure,
  'never-taken': neverTaken,
  'not-surely-done': notSurelyDone,
  'taken-in-a-loop': takenInALoop,
  'never-judged': neverJudged,
  'never-used': neverUsed,
  'no-source': noSource,
  'unasked-role': unaskedRole,
  'unknown-place-holder': unknownPlaceHolder,
  'names-another': namesAnother,
  'missing-braces': missingBraces,
  'tool-in-text': toolInText,
  'contrary-words': contraryWords,
  'copied-step': copiedStep,
  'twin-differs': twinDiffers,
  'unwritten-text': unwrittenText,
  'signal-word': signalWord,
  'bad-quantity': badQuantity,
  'wrong-quantity': wrongQuantity,
  'dual-disagrees': dualDisagrees,
  'repeated-number': repeatedNumber,
  'other-number': otherNumber,
  'wait-without-time': waitWithoutTime,
  'temperature-conversion': temperatureConversion,
  'reversed-pair': reversedPair,
  'below-zero': belowZero,
  'mixed-limits': mixedLimits,
  'odd-fact': oddFact,
  'literal-count': literalCount,
  'literal-bore': literalBore,
  'fixed-angle': fixedAngle,
  'listed-bores': listedBores,
  'bad-expression': badExpression,
  'same-twice': sameTwice,
  'corrected-twice': correctedTwice,
  'swapped-change': swappedChange,
  'single-bore': singleBore,
  'wrong-extreme': wrongExtreme,
  'bad-repeats': badRepeats,
  'bad-circle': badCircle,
  'across-zero': acrossZero,
  'bad-shape': badShape,
  'same-shape': sameShape,
  'beyond-instrument': beyondInstrument,
  'not-calibrated': notCalibrated,
  'uncertainty-unknown': uncertaintyUnknown,
  'cannot-judge': cannotJudge,
  'too-coarse': tooCoarse,
  'unusual-limits': unusualLimits,
  'remedy-disturbs': remedyDisturbs,
  'stage-order': stageOrder,
  'wrong-pattern': wrongPattern,
  'no-pattern': noPattern,
  'low-on-scale': lowOnScale,
  'points-order': pointsOrder,
  'beyond-table': beyondTable,
  'divided-by-zero': dividedByZero,
  'final-torque': finalTorque,
  'torque-differs': torqueDiffers,
  'cannot-fail': cannotFail,
  'cannot-conform': cannotConform,
  'contrary-side': contrarySide,
  'bad-stock': badStock,
  'moves-away': movesAway,
  'coarse-stock': coarseStock,
  'out-of-reach': outOfReach,
  'idle-condition': idleCondition,
  'always-true': alwaysTrue,
  'crank-data': crankData,
  'same-position': samePosition,
  'no-crank': noCrank,
  'no-rotation-plan': noRotationPlan,
  'wrong-holder': wrongHolder,
  'no-verb': noVerb,
  'several-verbs': severalVerbs,
  'several-checks': severalChecks,
  'judges-another': judgesAnother,
  'no-remedy': noRemedy,
  'needless-remedy': needlessRemedy,
  'change-without-act': changeWithoutAct,
  'never-entered': neverEntered,
  'overlapping-cases': overlappingCases,
  'missing-case': missingCase,
  'otherwise-by-variant': otherwiseByVariant,
  'uncovered-given': uncoveredGiven,
  'resume-at': resumeAt,
  'rework-leaves-state': reworkLeavesState,
  'idle-rework': idleRework,
  'safety-concession': safetyConcession,
  'unmarked-safety': unmarkedSafety,
  'hazard-elsewhere': hazardElsewhere,
  'danger-unacknowledged': dangerUnacknowledged,
  'same-role': sameRole,
  'no-identity': noIdentity,
  'never-compared': neverCompared,
  'identified-twice': identifiedTwice,
  'split-set': splitSet,
  'not-removed': notRemoved,
  'removed-twice': removedTwice,
  'not-renewed': notRenewed,
  'not-single-use': notSingleUse,
  'not-listed': notListed,
  'needless-requirement': needlessRequirement,
  'lost-preliminary': lostPreliminary,
  'too-many-steps': tooManySteps,
  'law-broken': lawBroken,
  'dead-end': deadEnd,
  'wrong-end': wrongEnd,
  'never-parked': neverParked,
  'relied-unjudged': reliedUnjudged,
  unreachable: unreachable,
  'unfinished-proof': unfinishedProof,
  'failed-trial': failedTrial,
};
