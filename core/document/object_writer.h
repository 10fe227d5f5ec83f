// SPDX-License-Identifier: GPL-3.0-or-later
// Visitor of describe.h that writes a struct as a JSON object, and leaves the struct as it will be read back.
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

class ObjectWriter {
public:
    JsonValue written() && { return {std::move(object_)}; }

    void table(std::string_view name) { table_ = name; }
    void heading();
    void number(std::string_view key, double& si);
    void number(std::string_view key, std::optional<double>& si);
    void whole(std::string_view key, int& count) { put(key, jsonWhole(count)); }
    void whole(std::string_view key, std::optional<int>& count);
    void text(std::string_view key, std::string& text, Presence presence = Presence::written);
    void flag(std::string_view key, bool& set);
    void row(std::string_view key, std::vector<double>& values, std::size_t most);
    void place(std::string_view key, Point3& place);
    void points(std::string_view key, std::vector<Point2>& points, std::size_t most);
    void name(std::string_view key, std::string& text) { this->text(key, text); }
    void numbers(std::string_view key, std::map<std::string, double>& values);
    void onlyOne(std::string_view, std::string_view) {}
    void needs(std::string_view, std::string_view, std::string_view) {}
    void shuts(std::string_view key) { shut_.push_back(key); }
    void unknown(UnknownKeys& keys);

    template <class E, std::size_t N>
    void word(std::string_view key, const E& chosen, const std::array<Word<E>, N>& words)
    {
        put(key, {std::string(wordFor(chosen, words))});
    }

    template <class E, std::size_t N>
    void word(std::string_view key, const std::optional<E>& chosen, const std::array<Word<E>, N>& words)
    {
        if (chosen) word(key, *chosen, words);
    }

    template <class E, std::size_t N>
    void wordUnless(E usual, std::string_view key, const E& chosen, const std::array<Word<E>, N>& words)
    {
        if (chosen != usual) word(key, chosen, words);
    }

    template <class E, std::size_t N>
    void words(std::string_view key, const std::map<std::string, E>& chosen, const std::array<Word<E>, N>& words)
    {
        JsonObject object;
        for (const auto& [name, value] : chosen)
            object.emplace_back(validUtf8(name), JsonValue{std::string(wordFor(value, words))});
        if (!object.empty()) put(key, {std::move(object)});
    }

    template <class T> void object(std::string_view key, T& target)
    {
        ObjectWriter inside;
        describe(inside, target);
        put(key, std::move(inside).written());
    }

    template <class T> void object(std::string_view key, std::optional<T>& target)
    {
        if (target) object(key, *target);
    }

    template <class T> void list(std::string_view key, std::vector<T>& items, std::size_t, Presence presence)
    {
        if (items.empty() && presence == Presence::optional) return;
        JsonArray list;
        for (T& item : items) {
            ObjectWriter inside;
            describe(inside, item);
            list.push_back(std::move(inside).written());
        }
        put(key, {std::move(list)});
    }

private:
    template <class E, std::size_t N>
    static std::string_view wordFor(const E& chosen, const std::array<Word<E>, N>& words)
    {
        for (const Word<E>& word : words)
            if (word.first == chosen) return word.second;
        return words.front().second;
    }

    JsonValue tuple(std::string_view key, std::span<double> numbers);
    void put(std::string_view key, JsonValue value) { object_.emplace_back(std::string(key), std::move(value)); }

    JsonObject object_;
    std::string_view table_;
    std::vector<std::string_view> shut_;
};

}  // namespace portwright
