// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/result_strip.h"

#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/small_parts.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QPushButton>
#include <QVBoxLayout>

#include <algorithm>

namespace portwright {
namespace {

constexpr qsizetype mostRemarks = 1;                 // the others in the tip, so that the strip stays a strip
constexpr double rowHeight = 26, remarkHeight = 34;  // px: the same with and without, so that no button moves

}  // namespace

ResultStrip::ResultStrip(MeasureDesk& desk, QWidget* parent)
    : QWidget(parent), desk_(desk), one_(new DimLabel({})), all_(new LetteredLabel({}, Letters::readout)),
      remark_(new StateLine), use_(new QPushButton(tr("Use the measurements"))), takeOff_(new QPushButton)
{
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(px(14), px(6), px(14), px(6));
    column->setSpacing(px(2));
    auto* row = new QHBoxLayout;
    row->setSpacing(px(14));
    one_->setSizePolicy(QSizePolicy::Ignored, QSizePolicy::Preferred);
    all_->setMinimumHeight(px(rowHeight));
    row->addWidget(all_);
    row->addStretch(1);
    row->addWidget(takeOff_);
    row->addWidget(use_);
    column->addLayout(row);
    column->addWidget(one_);
    column->addWidget(remark_);
    remark_->setFixedHeight(px(remarkHeight));
    QSizePolicy kept = remark_->sizePolicy();
    kept.setRetainSizeWhenHidden(true);
    remark_->setSizePolicy(kept);
    takeOff_->setFocusPolicy(Qt::TabFocus);  // it goes when it is clicked, and would hand the focus to anything
    takeOff_->setToolTip(tr("By the datasheet or an estimate; the Cavity station shows how much, and changes it"));
    connect(takeOff_, &QPushButton::clicked, &desk_, [this] {
        if (!desk_.fromMeasurements()) return;
        const auto forgotten = desk_.fromMeasurements()->forgotten;
        desk_.editCavity(tr("Add Deductions"), [&forgotten](Cavity& cavity) {
            for (const DeductionKind kind : forgotten) {
                Deduction fresh;
                fresh.kind = kind;
                cavity.deductions.push_back(fresh);
            }
        });
    });
    use_->setToolTip(tr("The typed net volume gives way to what was measured; undo brings it back"));
    connect(use_, &QPushButton::clicked, &desk_, [this] {
        desk_.editCavity(tr("Use the Measurements"), [](Cavity& cavity) {
            cavity.netVolume = 0;
            cavity.netUncertainty.reset();
        });
    });
}

void ResultStrip::refresh()
{
    const auto& measured = desk_.fromMeasurements();
    const Cavity* cavity = desk_.cavity();
    const bool typed = cavity && cavity->netVolume > 0;
    const auto used = std::count_if(desk_.readings().begin(), desk_.readings().end(),
                                    [](const VolumeReading& r) { return !r.unused; });
    QString all = measured ? tr("Net %1").arg(volumeText(measured->value, measured->uncertainty, desk_.units()))
                  : cavity && !cavity->measurements.empty() ? tr("No net volume yet")
                                                            : tr("Nothing measured yet");
    if (measured && used > 1) all += tr(", from %1 measurements").arg(used);
    all_->setText(all);
    const int at = desk_.current();
    QStringList words;
    if (at >= 0 && std::size_t(at) < desk_.readings().size()) {
        const VolumeReading& r = desk_.readings()[std::size_t(at)];
        if (r.error)
            words << localSentence(r.error->message);
        else
            words << tr("This one: %1, %2.")
                         .arg(volumeText(r.volume, r.uncertainty, desk_.units()),
                              r.inPlace == InPlace::everything ? tr("with everything in place") : tr("bare shell"));
    }
    one_->setText(words.join(QLatin1Char(' ')));
    one_->setToolTip(one_->text());
    QStringList remarks;
    if (typed && used > 0)
        remarks << tr("The typed net volume of %1 is in force.")
                       .arg(figureText(cavity->netVolume, Dimension::volume, desk_.units()));
    if (!measured && used > 0) remarks << localSentence(measured.error().message);
    if (measured) {
        for (const auto* part :
             {measured->gross ? &*measured->gross : nullptr, measured->net ? &*measured->net : nullptr})
            for (std::size_t i = 0; part && i < part->remarks.size(); ++i)
                if (!remarks.contains(localSentence(part->remarks[i]))) remarks << localSentence(part->remarks[i]);
        for (const std::string& remark : measured->remarks)
            if (!remarks.contains(localSentence(remark))) remarks << localSentence(remark);
    }
    if (at >= 0 && std::size_t(at) < desk_.readings().size())
        for (const std::string& remark : desk_.readings()[std::size_t(at)].remarks)
            if (!remarks.contains(localSentence(remark))) remarks << localSentence(remark);
    remark_->setToolTip(remarks.join(QLatin1Char('\n')));
    const qsizetype more = remarks.size() - mostRemarks;
    if (more > 0) {
        remarks = remarks.mid(0, mostRemarks);
        remarks << tr("And %1 more.").arg(more);
    }
    remark_->setState(Mark::note, remarks.join(QLatin1Char(' ')));
    remark_->setVisible(!remarks.isEmpty());
    use_->setVisible(typed && measured.has_value());
    const auto& forgotten = measured ? measured->forgotten : std::vector<DeductionKind>();
    takeOff_->setVisible(!forgotten.empty());
    if (forgotten.size() > 1)
        takeOff_->setText(tr("Take off driver and ports"));
    else if (!forgotten.empty())
        takeOff_->setText(forgotten.front() == DeductionKind::driver ? tr("Take off the driver")
                                                                     : tr("Take off the ports"));
}

}  // namespace portwright
