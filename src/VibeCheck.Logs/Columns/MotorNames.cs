using System.Globalization;
using VibeCheck.Core.Airframes;

namespace VibeCheck.Logs.Columns;

/// <summary>Which motor of the airframe a name or number in a log means.</summary>
internal sealed class MotorNames
{
    private readonly Airframe? _airframe;
    private readonly bool _byIdNumber;
    private readonly bool _zeroBased;

    /// <param name="airframe">Null when a log is only inspected.</param>
    /// <param name="numbers">All motor numbers that the log uses.</param>
    internal MotorNames(Airframe? airframe, IReadOnlyCollection<int> numbers)
    {
        _airframe = airframe;
        int?[] ids = [.. (airframe?.Motors ?? []).Select(m => TrailingNumber(m.Id))];
        _byIdNumber =
            ids.Length > 0 && ids.All(i => i.HasValue) && ids.Distinct().Count() == ids.Length && (!numbers.Contains(0) || ids.Contains(0));
        _zeroBased = numbers.Contains(0);
    }

    /// <summary>How numbers were understood, for people; null when nothing had to be decided.</summary>
    internal string? NumberingPhrase => !_byIdNumber && _zeroBased ? "motors numbered from 0 in the log" : null;

    /// <summary>Id of the motor that a number refers to; null when the airframe has none for it.</summary>
    internal string? OfNumber(int number)
    {
        if (_airframe is null)
        {
            return string.Create(CultureInfo.InvariantCulture, $"M{number + (_zeroBased ? 1 : 0)}");
        }

        if (_byIdNumber)
        {
            return _airframe.Motors.FirstOrDefault(m => TrailingNumber(m.Id) == number)?.Id;
        }

        int index = number - (_zeroBased ? 0 : 1);
        return index >= 0 && index < _airframe.Motors.Count ? _airframe.Motors[index].Id : null;
    }

    /// <summary>Id of the motor that a text refers to: by id, by number, by direction such as "front left"; null when none fits.</summary>
    internal string? OfText(string text)
    {
        string trimmed = text.Trim();
        if (_airframe is null)
        {
            return LoneNumber(trimmed) is { } lone ? OfNumber(lone)
                : trimmed.Length is 0 or > 40 ? null
                : trimmed.ToUpperInvariant();
        }

        string squeezed = Squeeze(trimmed);
        Motor? byId = _airframe.Motors.FirstOrDefault(m => Squeeze(m.Id) == squeezed);
        return byId?.Id ?? (LoneNumber(trimmed) is { } number ? OfNumber(number) : ByDirection(trimmed));
    }

    /// <summary>Id of the motor whose id appears in a header as separate words; null when there is none. The longest id wins.</summary>
    internal string? InHeader(string header)
    {
        if (_airframe is null)
        {
            return null;
        }

        IReadOnlyList<string> words = HeaderText.WaysToRead(header)[^1].Words;
        // Where the log counts from 0, its "m1" is the second motor, whichever motor the airframe calls M1.
        bool numbersMislead = _zeroBased && !_byIdNumber;
        return _airframe
            .Motors.Where(m => !numbersMislead || TrailingNumber(m.Id) is null)
            .Select(m => (m.Id, Words: HeaderText.WaysToRead(m.Id)[^1].Words))
            .Where(m => m.Words.Count > 0 && Contains(words, m.Words))
            .OrderByDescending(m => m.Words.Sum(w => w.Length))
            .Select(m => m.Id)
            .FirstOrDefault();
    }

    internal static int? LoneNumber(string text)
    {
        string digits = new([.. text.Where(char.IsAsciiDigit)]);
        bool plain = text.All(c => char.IsAsciiLetterOrDigit(c) || c is '_' or '-' or ' ' or '#' or '.');
        string letters = new([.. text.Where(char.IsAsciiLetter).Select(char.ToLowerInvariant)]);
        bool motorWord = letters is "" or "m" or "motor" or "mot" or "esc" or "rotor" or "prop" or "e" or "engine";
        return plain && motorWord && digits.Length is > 0 and <= 3 ? int.Parse(digits, CultureInfo.InvariantCulture) : null;
    }

    private static int? TrailingNumber(string id)
    {
        int from = id.Length;
        while (from > 0 && char.IsAsciiDigit(id[from - 1]))
        {
            from--;
        }

        return int.TryParse(id.AsSpan(from), NumberStyles.None, CultureInfo.InvariantCulture, out int number) ? number : null;
    }

    private static bool Contains(IReadOnlyList<string> words, IReadOnlyList<string> part)
    {
        for (int i = 0; i + part.Count <= words.Count; i++)
        {
            int same = 0;
            while (same < part.Count && words[i + same] == part[same])
            {
                same++;
            }

            if (same == part.Count)
            {
                return true;
            }
        }

        return false;
    }

    private static string Squeeze(string text) => new([.. text.Where(char.IsLetterOrDigit).Select(char.ToLowerInvariant)]);

    /// <summary>Directions such as front left, by the azimuth of the arms; used only where exactly one motor is there.</summary>
    private string? ByDirection(string text)
    {
        double? azimuth = Squeeze(text) switch
        {
            "fl" or "frontleft" or "lf" or "leftfront" => 315,
            "fr" or "frontright" or "rf" or "rightfront" => 45,
            "rl" or "bl" or "rearleft" or "backleft" or "leftrear" => 225,
            "rr" or "br" or "rearright" or "backright" or "rightrear" => 135,
            "f" or "front" or "nose" => 0,
            "r" or "right" => 90,
            "rear" or "back" or "b" or "tail" => 180,
            "l" or "left" => 270,
            _ => null,
        };
        if (azimuth is null)
        {
            return null;
        }

        List<Motor> near = [.. _airframe!.Motors.Where(m => Math.Abs(Math.IEEERemainder(m.AzimuthDeg - azimuth.Value, 360)) <= 25)];
        return near.Count == 1 ? near[0].Id : null;
    }
}
