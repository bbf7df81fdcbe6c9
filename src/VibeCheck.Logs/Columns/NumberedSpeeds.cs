namespace VibeCheck.Logs.Columns;

/// <summary>Rotor speeds that can be recognised only by their numbers: Speed1 to Speed6, or omega1 to omega4.</summary>
/// <remarks>A single header of this kind is not enough: a speed may be that of the aircraft, and omega 1 is an axis where the rates are
/// numbered. Four in a row are neither, because a rate has three axes. Numbered frequencies may be those of filters. Where another header
/// clearly names the speed of a rotor, these columns are something else.</remarks>
internal static class NumberedSpeeds
{
    private const int LeastCount = 4;

    /// <summary>For the header at an index, the number of the rotor whose speed it is, and the unit if it gives one.</summary>
    internal static Dictionary<int, (int Rotor, Unit? Unit)> Of(IReadOnlyList<string> headers)
    {
        var found = new Dictionary<int, (int, Unit?)>();
        IEnumerable<Named> named = headers.Select((header, index) => NameOf(header, index)).OfType<Named>();
        foreach (IGrouping<(string, Unit?), Named> series in named.GroupBy(n => (n.Word, n.Unit)))
        {
            Named[] inOrder = [.. series.OrderBy(n => n.Number)];
            int first = inOrder[0].Number;
            if (inOrder.Length >= LeastCount && first is 0 or 1 && inOrder.Select((n, i) => n.Number == first + i).All(isNext => isNext))
            {
                foreach (Named one in inOrder)
                {
                    found[one.Index] = (one.Number, one.Unit);
                }
            }
        }

        bool areSaid = headers
            .Where((_, index) => !found.ContainsKey(index))
            .Any(h => ChannelFinder.Find(h).Channel?.Quantity == Quantity.RotorSpeed);
        return areSaid ? [] : found;
    }

    private static Named? NameOf(string header, int index)
    {
        foreach (HeaderText way in HeaderText.WaysToRead(header))
        {
            Unit? unit = way.UnitCandidates.Select(c => UnitTable.Find(c, Quantity.RotorSpeed)).FirstOrDefault(u => u is not null);
            bool hasOtherUnit = unit is null && way.UnitCandidates.Count > 0;
            if (
                !hasOtherUnit
                && way.Words is [{ Length: > 1 } word, { Length: <= 2 } number]
                && ChannelWords.SpeedWords.Contains(word)
                && word is not ("freq" or "frequency")
                && number.All(char.IsAsciiDigit)
            )
            {
                return new(index, word, int.Parse(number, System.Globalization.CultureInfo.InvariantCulture), unit);
            }
        }

        return null;
    }

    private sealed record Named(int Index, string Word, int Number, Unit? Unit);
}
