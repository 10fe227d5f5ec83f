// SPDX-License-Identifier: GPL-3.0-or-later
// Visitor of describe.h that reads one JSON object into a struct and checks presence, type and range of each key.
#pragma once

#include "core/document/describe.h"
#include "core/document/fields.h"
#include "core/document/json_text.h"

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace portwright {

/// What a whole reading gathers: the first error, and warnings.
struct ReadingNotes {
    std::optional<Error> error;
    std::vector<Error> warnings;
};

class ObjectReader {
public:
    ObjectReader(const JsonValue& object, std::string pointer, ReadingNotes& notes);

    void table(std::string_view name) { table_ = name; }
    void heading();
    void number(std::string_view key, double& si);
    void number(std::string_view key, std::optional<double>& si);
    void whole(std::string_view key, int& count);
    void whole(std::string_view key, std::optional<int>& count);
    void text(std::string_view key, std::string& text, Presence = Presence::written);
    void flag(std::string_view key, bool& set);
    void row(std::string_view key, std::vector<double>& values, std::size_t most);
    void place(std::string_view key, Point3& place);
    void points(std::string_view key, std::vector<Point2>& points, std::size_t most);
    void name(std::string_view key, std::string& text);
    void numbers(std::string_view key, std::map<std::string, double>& values);
    void onlyOne(std::string_view one, std::string_view other);
    void needs(std::string_view key, std::string_view companion, std::string_view why);
    void shuts(std::string_view) {}
    void unknown(UnknownKeys& keys);
    std::string meant(std::string_view key) const;

    template <class E, std::size_t N>
    void word(std::string_view key, std::optional<E>& chosen, const std::array<Word<E>, N>& words)
    {
        const JsonValue* value = take(key);
        chosen.reset();
        if (value) chosen = wordOf(key, *value, words);
    }

    template <class E, std::size_t N> void word(std::string_view key, E& chosen, const std::array<Word<E>, N>& words)
    {
        const JsonValue* value = take(key);
        if (!value) return missing(key, "allowed is " + listOf(words));
        if (const auto found = wordOf(key, *value, words)) chosen = *found;
    }

    template <class E, std::size_t N>
    void wordUnless(E usual, std::string_view key, E& chosen, const std::array<Word<E>, N>& words)
    {
        const JsonValue* value = take(key);
        chosen = value ? wordOf(key, *value, words).value_or(usual) : usual;
    }

    template <class E, std::size_t N>
    void words(std::string_view key, std::map<std::string, E>& chosen, const std::array<Word<E>, N>& words)
    {
        chosen.clear();
        const JsonObject* object = takeObject(key);
        if (!object) return;
        ObjectReader inside(*take(key), below(pointer_, key), notes_);
        for (const auto& [name, value] : *object)
            if (const auto found = inside.wordOf(name, value, words)) chosen[name] = *found;
    }

    template <class T> void object(std::string_view key, T& target)
    {
        if (!take(key)) return missing(key, "an object is expected");
        if (takeObject(key)) read(*take(key), below(pointer_, key), target);
    }

    template <class T> void object(std::string_view key, std::optional<T>& target)
    {
        target.reset();
        if (takeObject(key)) read(*take(key), below(pointer_, key), target.emplace());
    }

    template <class T> void list(std::string_view key, std::vector<T>& items, std::size_t most, Presence presence)
    {
        items.clear();
        const JsonArray* list = takeList(key, most, presence);
        if (!list) return;
        items.resize(list->size());
        for (std::size_t i = 0; i < items.size() && !notes_.error; ++i) {
            const std::string pointer = below(below(pointer_, key), i);
            if (!std::holds_alternative<JsonObject>((*list)[i].value))
                refuseAt(pointer, "this is " + foundWords((*list)[i]) + "; an object is expected");
            else
                read((*list)[i], pointer, items[i]);
        }
    }

private:
    template <class T> void read(const JsonValue& value, std::string pointer, T& target)
    {
        ObjectReader inside(value, std::move(pointer), notes_);
        describe(inside, target);
    }

    template <class E, std::size_t N> static std::string listOf(const std::array<Word<E>, N>& words)
    {
        std::string list;
        for (std::size_t i = 0; i < N; ++i)
            list += (i == 0 ? "" : i + 1 == N ? " or " : ", ") + quotedText(words[i].second);
        return list;
    }

    template <class E, std::size_t N>
    std::optional<E> wordOf(std::string_view key, const JsonValue& value, const std::array<Word<E>, N>& words)
    {
        if (const auto* text = std::get_if<std::string>(&value.value))
            for (const Word<E>& word : words)
                if (word.second == *text) return word.first;
        refuse(key, "is " + foundWords(value) + "; allowed is " + listOf(words));
        return std::nullopt;
    }

    const JsonValue* take(std::string_view key);
    const JsonObject* takeObject(std::string_view key);
    const JsonArray* takeList(std::string_view key, std::size_t most, Presence presence);
    bool tuple(std::string_view key, const JsonValue& value, const std::string& pointer, std::span<double> numbers);
    std::optional<double> checkedNumber(std::string_view key, const JsonValue& value, const FieldInfo& info,
                                        bool whole);
    const FieldInfo& info(std::string_view key) const;
    void missing(std::string_view key, const std::string& allowed);
    void refuse(std::string_view key, const std::string& what);
    void refuseAt(std::string pointer, std::string message);
    void warn(std::string pointer, std::string message);

    const JsonValue& object_;
    std::string pointer_;
    ReadingNotes& notes_;
    std::string_view table_;
    std::vector<std::string_view> taken_;
};

}  // namespace portwright
