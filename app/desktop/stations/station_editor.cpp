// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/stations/station_editor.h"

#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/typing.h"

#include <QApplication>

#include <algorithm>

namespace portwright {
namespace {

Mark markOf(State state)
{
    switch (state) {
    case State::holds:
        return Mark::holds;
    case State::near:
        return Mark::near;
    case State::over:
        return Mark::over;
    case State::missing:
        return Mark::missing;
    case State::note:
        return Mark::note;
    }
    return Mark::note;
}

std::vector<Verdict> verdictsOn(Workbench& workbench, const QStringList& subjects)
{
    std::vector<Verdict> found;
    const HousingResult* result = workbench.chosenResult();
    if (result && result->computed)
        for (const Verdict& verdict : result->computed->verdicts)
            if (subjects.contains(QString::fromStdString(verdict.subject))) found.push_back(verdict);
    return found;
}

}  // namespace

VerdictLine lineOf(const Verdict& verdict)
{
    QString text = localSentence(verdict.text);
    if (!text.endsWith(QLatin1Char('.'))) text += QLatin1Char('.');
    QString button = localSentence(verdict.remedyWords);
    QString tip = Form::tr("Rests on: %1").arg(QString::fromStdString(verdict.rule));
    const qsizetype scope = button.indexOf(QLatin1String(", every housing"));
    if (scope > 0) {  // said in the tip, so that the button stays narrower than a card
        tip += QLatin1Char('\n') + Form::tr("The button's change holds for %1.").arg(button.mid(scope + 2));
        button.truncate(scope);
    }
    return {.mark = markOf(verdict.state), .text = text, .applyWords = button, .tip = tip};
}

void applyRemedy(Workbench& workbench, const std::string& housingId, const Verdict& verdict)
{
    if (!verdict.remedy) return;
    commitTyping();
    Document& document = workbench.document();
    const auto& housings = document.project().housings;
    const auto found =
        std::find_if(housings.begin(), housings.end(), [&](const Housing& h) { return h.id == housingId; });
    if (found == housings.end()) return;
    const auto index = std::size_t(found - housings.begin());
    document.edit(Form::tr("Apply %1").arg(QString::fromStdString(verdict.remedyWords)),
                  [&](Project& project) { project = applied(std::move(project), index, *verdict.remedy); });
}

StationEditor::StationEditor(Workbench& workbench, const QString& name, StationForm description, QWidget* parent)
    : QScrollArea(parent), workbench_(workbench), description_(std::move(description))
{
    setAccessibleName(tr("%1 editor").arg(name));
    setFrameShape(QFrame::NoFrame);
    setWidgetResizable(true);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    setFocusPolicy(Qt::NoFocus);
    refresh();
}

void StationEditor::refresh()
{
    const QString key = workbench_.chosenLetter() + QLatin1Char('|') +
                        QString::fromStdString(workbench_.chosenHousing() ? workbench_.chosenHousing()->id : "") +
                        QLatin1Char('|') + description_.rowsKey(workbench_);
    if (!form_ || key != key_)
        rebuild(key);
    else
        form_->refresh();
}

/// Where the user was among the rows, he stays there: at the same row; where that is gone, or was a button, at what is
/// new, else at the first.
void StationEditor::rebuild(const QString& key)
{
    key_ = key;
    const QWidget* focused = QApplication::focusWidget();
    const bool within = form_ && focused && form_->isAncestorOf(focused);
    const QStringList known = within ? form_->fields() : QStringList();
    const QString at = within ? form_->fieldOf(focused) : QString();
    if (QWidget* former = takeWidget()) {
        former->hide();
        former->deleteLater();  // one of its fields may be the sender of what brought us here
    }
    form_ = new Form(workbench_, description_.helpPage);
    description_.build(workbench_, *form_);
    form_->finish();
    setWidget(form_);
    setMinimumWidth(form_->minimumSizeHint().width());
    if (!within) return;
    const QStringList now = form_->fields();
    if (now.contains(at)) return void(form_->jumpTo(at));
    const auto fresh = std::find_if(now.begin(), now.end(), [&](const QString& f) { return !known.contains(f); });
    if (fresh != now.end())
        form_->jumpTo(*fresh);
    else if (!now.isEmpty())
        form_->jumpTo(now.front());
}

bool StationEditor::jumpTo(const QString& field) { return form_ && form_->jumpTo(field); }

QString originKeyOf(const QString& field) { return field.mid(field.lastIndexOf(QLatin1Char('/')) + 1); }

void missingHousingRow(Form& form)
{
    form.note([] {
        return std::pair(Mark::note,
                         Form::tr("Which housing is it for? Add one at the right, then open this station."));
    });
}

void feedScopeRows(Workbench& workbench, Form& form)
{
    if (!workbench.chosenIndex()) return;
    form.choice({.label = Form::tr("Feed"),
                 .names = {Form::tr("the project's"), Form::tr("this housing's own")},
                 .field = QStringLiteral("feed"),
                 .read =
                     [&workbench](const Project& p) {
                         const auto i = workbench.chosenIn(p);
                         return i && p.housings[*i].feed ? 1 : 0;
                     },
                 .write =
                     [&workbench](Project& p, int own) {
                         const auto i = workbench.chosenIn(p);
                         if (!i) return;
                         if (own)
                             p.housings[*i].feed = p.feed.value_or(Feed{});
                         else
                             p.housings[*i].feed.reset();
                     }});
}

void verdictRows(Workbench& workbench, Form& form, const QStringList& subjects)
{
    auto* list = new VerdictList;
    list->setAccessibleName(Form::tr("Verdicts of this station"));
    QObject::connect(list, &VerdictList::applyWanted, &form, [&workbench, subjects](int index) {
        const auto verdicts = verdictsOn(workbench, subjects);
        if (index >= 0 && std::size_t(index) < verdicts.size() && workbench.chosenHousing())
            applyRemedy(workbench, workbench.chosenHousing()->id, verdicts[std::size_t(index)]);
    });
    QObject::connect(list, &VerdictList::verdictClicked, &form, [&workbench, &form, subjects](int index) {
        const auto verdicts = verdictsOn(workbench, subjects);
        if (index >= 0 && std::size_t(index) < verdicts.size())
            form.jumpTo(QString::fromStdString(verdicts[std::size_t(index)].field));
    });
    form.whenRefreshed([&workbench, list, subjects] {
        QList<VerdictLine> lines;
        for (const Verdict& verdict : verdictsOn(workbench, subjects))
            lines << lineOf(verdict);
        list->setVerdicts(lines);
        list->setVisible(!lines.isEmpty());
    });
    form.add(list);
}

}  // namespace portwright
